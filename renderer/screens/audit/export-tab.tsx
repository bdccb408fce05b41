import { auditFilterSchema, exportFormats } from '../../../shared/audit/filter.ts';
import { isSiteBundle, mayExport } from '../../actions/export-readings.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { exportInHand } from '../../state/audit-state.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { ChainSelect } from './chain-select.tsx';
import { FilterPanel } from './filter-panel.tsx';

const allFields = auditFilterSchema.keyof().options;
const allButSerial = auditFilterSchema.keyof().exclude(['serial']).options;

/** Readings as files, or a bundle that anyone can check. */
export function ExportTab() {
  const { screen, snapshot } = useSituation();
  const { hands } = useWorkbench();
  const { say } = useWording();
  const { format, filter, bundleChainId } = screen.audit;
  const isBundle = isSiteBundle(screen.audit, snapshot);
  const isOfChain = isBundle && bundleChainId !== null;
  if (!mayExport({ snapshot })) return <p>{say('audit.export.notAllowed')}</p>;
  return (
    <>
      <fieldset className="formats">
        <legend className="visually-hidden">{say('audit.export.format')}</legend>
        {exportFormats.map((value) => (
          <label key={value} className="format">
            <input
              type="radio"
              name="format"
              value={value}
              checked={value === format}
              data-testid={`format-${value}`}
              onChange={() => hands.setAudit({ format: value })}
            />
            <span>
              <strong>{say(`audit.export.${value}`)}</strong>
              <span className="quiet"> {say(`audit.export.${value}.text`)}</span>
            </span>
          </label>
        ))}
      </fieldset>
      <FilterPanel without={isOfChain ? allFields : isBundle ? allButSerial : []}>
        {isBundle && <ChainSelect />}
      </FilterPanel>
      {Object.keys(filter).length === 0 && !isBundle && (
        <p className="quiet">{say(format === 'bundle' ? 'audit.export.whole' : 'audit.export.all')}</p>
      )}
      {snapshot?.site !== undefined && (
        <p className="quiet">
          {say(isOfChain ? 'audit.export.chain' : isBundle ? 'audit.export.serial' : 'audit.export.site')}
        </p>
      )}
      <Progress />
    </>
  );
}

function Progress() {
  const { screen, exported } = useSituation();
  const { say } = useWording();
  const progress = exportInHand(screen.audit, exported);
  return (
    <div
      aria-live="polite"
      className="export-progress"
      data-testid="export-progress"
      data-state={progress?.state}
    >
      {progress?.state === 'running' && (
        <>
          <p>{say('audit.export.running', { done: progress.done, total: progress.total })}</p>
          <progress
            max={Math.max(1, progress.total)}
            value={progress.done}
            aria-label={say('audit.tab.export')}
          />
        </>
      )}
      {progress?.state === 'ready' && (
        <>
          <p className="is-pass with-icon">
            <VerdictIcon verdict="pass" /> {say('audit.export.ready')}
          </p>
          {progress.omitted > 0 && (
            <p className="is-fail with-icon">
              <VerdictIcon verdict="fail" /> {say('audit.export.omitted', { count: progress.omitted })}
            </p>
          )}
        </>
      )}
      {progress?.state === 'stopped' && <p>{say('audit.export.stopped')}</p>}
      {progress?.state === 'failed' && (
        <p className="is-fail with-icon">
          <VerdictIcon verdict="fail" /> {say('audit.export.failed', { message: progress.message ?? '' })}
        </p>
      )}
    </div>
  );
}
