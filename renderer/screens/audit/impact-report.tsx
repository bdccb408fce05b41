import { type Decision, decisions } from '../../../shared/acceptance/judgement.ts';
import type { ImpactCaptureView, ImpactReportView } from '../../../shared/audit/impact-view.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { refusalSentence } from '../../wording/refusal-sentence.ts';
import { stepName } from '../../wording/step-name.ts';
import { roughText } from '../../wording/wording.ts';
import { useWording, useWorkbench } from '../../workbench.ts';
import { ImpactStations } from './impact-stations.tsx';
import { phaseText } from './phase-text.ts';
import { placeText } from './place-text.ts';
import { showSerial } from './show-serial.ts';

/** What an as-found error changes: counts by decision, the serials, and each capture that is concerned. */
export function ImpactReport({ report }: { readonly report: ImpactReportView }) {
  const wording = useWording();
  const { say, day } = wording;
  const { name, certificateNumber, lastGoodCalibration, since, until, judged, changed, unknown } = report;
  const { omitted, serialCount, captures } = report;
  const isNothing = changed + unknown === 0;
  return (
    <section className="impact" data-testid="impact-report">
      <h2>{say('audit.impact.title', { name, number: certificateNumber })}</h2>
      <p>
        {say('audit.impact.window', {
          from: since === null ? say('audit.impact.beginning') : day(since),
          until: until === null ? say('audit.impact.today') : day(until),
        })}{' '}
        {lastGoodCalibration === null
          ? say('audit.impact.noneBefore')
          : say('audit.impact.lastGood', {
              number: lastGoodCalibration.number,
              day: day(lastGoodCalibration.date),
            })}
      </p>
      <p className={isNothing ? 'is-pass with-icon' : 'is-fail with-icon'} data-testid="impact-sum">
        <VerdictIcon verdict={isNothing ? 'pass' : 'fail'} />
        <strong>
          {isNothing
            ? say('audit.impact.nothing', { judged })
            : say('audit.impact.sum', { judged, changed, unknown, serials: serialCount })}
        </strong>
      </p>
      {omitted > 0 && (
        <p className="is-fail with-icon">
          <VerdictIcon verdict="fail" /> {say('audit.impact.omitted', { count: omitted })}
        </p>
      )}
      {report.stations !== undefined && <ImpactStations stations={report.stations} />}
      {judged > 0 && <CountTable counts={report.counts} />}
      {serialCount > 0 && <Serials report={report} />}
      {captures.length > 0 && (
        <>
          <h3>{say('audit.impact.captures', { shown: captures.length, count: changed + unknown })}</h3>
          <CaptureTable captures={captures} />
        </>
      )}
    </section>
  );
}

/** How many captures went from which decision to which; what stays the same is on the diagonal. */
function CountTable({ counts }: Pick<ImpactReportView, 'counts'>) {
  const { say } = useWording();
  const columns: readonly (Decision | null)[] = [...decisions, null];
  const countOf = (recorded: Decision, again: Decision | null) =>
    counts.find((one) => one.recorded === recorded && one.again === again)?.count ?? 0;
  const rows = decisions.filter((recorded) => counts.some((one) => one.recorded === recorded));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard
    <div className="scroll-box" tabIndex={0}>
      <table className="impact-counts">
        <caption>{say('audit.impact.counts')}</caption>
        <thead>
          <tr>
            <th scope="col">{say('audit.impact.recorded')}</th>
            {columns.map((again) => (
              <th key={again} scope="col">
                {again === null
                  ? say('audit.impact.unknown')
                  : say('audit.impact.now', { decision: say(`verdict.${again}`) })}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((recorded) => (
            <tr key={recorded}>
              <th scope="row">
                <span className={`with-icon is-${recorded.replace(' ', '-')}`}>
                  <VerdictIcon verdict={recorded} /> {say(`verdict.${recorded}`)}
                </span>
              </th>
              {columns.map((again) => {
                const count = countOf(recorded, again);
                const isChange = again !== recorded && count > 0;
                return (
                  <td key={again} className={isChange ? 'figures is-change' : 'figures'}>
                    {count === 0 ? '–' : count}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Serials({ report: { serials, serialCount } }: { readonly report: ImpactReportView }) {
  const { say } = useWording();
  const { hands } = useWorkbench();
  return (
    <>
      <h3>{say('audit.impact.serials', { shown: serials.length, count: serialCount })}</h3>
      <ul className="impact-serials" data-testid="impact-serials">
        {serials.map((serial) => (
          <li key={serial}>
            <button type="button" className="link" onClick={() => void showSerial(hands, serial)}>
              {serial}
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}

function CaptureTable({ captures }: { readonly captures: readonly ImpactCaptureView[] }) {
  const isSite = captures.some(({ place }) => place !== undefined);
  const wording = useWording();
  const { say, moment, quantity } = wording;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard
    <div className="scroll-box" tabIndex={0}>
      <table data-testid="impact-captures">
        <thead>
          <tr>
            <th scope="col">{say('audit.filter.serial')}</th>
            {isSite && <th scope="col">{say('audit.bench')}</th>}
            <th scope="col">{say('audit.time')}</th>
            <th scope="col">{say('audit.step')}</th>
            <th scope="col">{say('audit.state')}</th>
            <th scope="col">{say('audit.impact.recorded')}</th>
            <th scope="col">{say('audit.impact.again')}</th>
            <th scope="col">{say('audit.impact.shift')}</th>
          </tr>
        </thead>
        <tbody>
          {captures.map((one) => (
            <tr key={`${one.place?.stationId} ${one.place?.branch} ${one.captureId}`}>
              <th scope="row">{one.serial}</th>
              {isSite && <td>{one.place === undefined ? '' : placeText(one.place, wording)}</td>}
              <td>{moment(one.at)}</td>
              <td>{stepName(one, wording)}</td>
              <td>{phaseText(one.phase, wording)}</td>
              <td>
                <Judged value={one.recorded.value} decision={one.recorded.decision} unit={one.unit} />
              </td>
              {one.again === null ? (
                <td colSpan={2}>
                  {say('audit.impact.cannotSay', {
                    reason: one.reason === null ? '' : refusalSentence(one.reason, wording),
                  })}
                </td>
              ) : (
                <>
                  <td>
                    <Judged value={one.again.value} decision={one.again.decision} unit={one.unit} />
                  </td>
                  <td className="figures">{quantity(roughText(one.again.shift, 3), one.unit)}</td>
                </>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Judged({
  value,
  decision,
  unit,
}: {
  readonly value: number;
  readonly decision: Decision;
  readonly unit: ImpactCaptureView['unit'];
}) {
  const { say, quantity } = useWording();
  return (
    <span className={`with-icon is-${decision.replace(' ', '-')}`}>
      <VerdictIcon verdict={decision} />
      <span className="figures">{quantity(roughText(value, 5), unit)}</span>
      <span className="small">{say(`verdict.${decision}`)}</span>
    </span>
  );
}
