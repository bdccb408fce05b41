import { useEffect } from 'react';
import type { CalibratedInstrumentView } from '../../../shared/audit/impact-view.ts';
import { askedStation } from '../../actions/asked-station.ts';
import { mayExport } from '../../actions/export-readings.ts';
import { DayField } from '../../parts/day-field.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { chosenCalibration } from '../../state/audit-state.ts';
import type { Wording } from '../../wording/wording.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { FilterSelect } from './filter-panel.tsx';
import { FindingSentence } from './finding-sentence.tsx';
import { ImpactReport } from './impact-report.tsx';
import { StationSelect } from './station-select.tsx';

/** From an instrument whose calibration found an error to every capture that the error touches. */
export function ImpactTab() {
  const { screen, snapshot, connection } = useSituation();
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say } = wording;
  const { calibrated, impactInstrumentId, impactSince } = screen.audit;
  const isSite = snapshot?.site !== undefined;
  const station = askedStation({ snapshot, screen });
  const isAsked = station !== null;
  const stationId = station?.stationId;
  useEffect(() => {
    if (connection !== 'connected' || !isAsked) return;
    let isLate = false;
    void hands.call('calibratedInstruments', { stationId }).then((answer) => {
      if (answer.ok && !isLate) hands.setAudit({ calibrated: answer.value.instruments });
    });
    return () => {
      // Another bench was chosen meanwhile.
      isLate = true;
    };
  }, [hands, connection, isAsked, stationId]);
  if (!mayExport({ snapshot })) return <p>{say('audit.export.notAllowed')}</p>;
  const chosen = chosenCalibration(screen.audit);
  return (
    <>
      <p>{say('audit.impact.hint')}</p>
      {isSite && <p>{say('audit.impact.site')}</p>}
      {/* biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be a grid in every Chromium that this runs in */}
      <div className="filter-fields is-wide" role="group" aria-label={say('audit.impact.of')}>
        <StationSelect entry />
        <FilterSelect
          name="impactInstrument"
          label={say('audit.filter.instrumentId')}
          value={impactInstrumentId ?? ''}
          none={say('audit.impact.choose')}
          entry={!isSite}
          options={(calibrated ?? []).map(({ instrumentId, name }) => ({ value: instrumentId, label: name }))}
          onChange={(value) =>
            hands.setAudit({ impactInstrumentId: value === '' ? null : value, impactCertificate: null })
          }
        />
        <FilterSelect
          name="impactCertificate"
          label={say('audit.impact.certificate')}
          value={chosen?.calibration.hash ?? ''}
          empty={chosen === null}
          none={say('audit.impact.choose')}
          options={(chosen?.instrument.calibrations ?? []).map((one) => ({
            value: one.hash,
            label: calibrationText(one, wording),
          }))}
          onChange={(value) => hands.setAudit({ impactCertificate: value })}
        />
        <DayField
          label={say('audit.impact.since')}
          testId="filter-impactSince"
          value={impactSince}
          onChange={(value) => hands.setAudit({ impactSince: value })}
        />
      </div>
      {chosen !== null && <FindingSentence finding={chosen.calibration.finding} />}
      <Progress />
    </>
  );
}

function calibrationText(
  { number, date, finding }: CalibratedInstrumentView['calibrations'][number],
  { say, day }: Wording,
): string {
  const of = say('certificate.of', { number, day: day(date) });
  return finding?.outOfTolerance === true ? `${of}: ${say('audit.impact.out')}` : of;
}

function Progress() {
  const { impact } = useSituation();
  const { say } = useWording();
  return (
    <>
      <div
        aria-live="polite"
        className="export-progress"
        data-testid="impact-progress"
        data-state={impact?.state}
      >
        {impact?.state === 'running' && (
          <>
            <p>{say('audit.impact.running', { done: impact.done, total: impact.total })}</p>
            <progress
              max={Math.max(1, impact.total)}
              value={impact.done}
              aria-label={say('audit.tab.impact')}
            />
          </>
        )}
        {impact?.state === 'stopped' && <p>{say('audit.export.stopped')}</p>}
        {impact?.state === 'failed' && (
          <p className="is-fail with-icon">
            <VerdictIcon verdict="fail" /> {say('audit.impact.failed', { message: impact.message ?? '' })}
          </p>
        )}
      </div>
      {impact?.report != null && <ImpactReport report={impact.report} />}
    </>
  );
}
