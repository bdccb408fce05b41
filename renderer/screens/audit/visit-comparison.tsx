import type { CaptureView, TimelineView } from '../../../shared/contract.ts';
import { visitName } from '../../state/audit-state.ts';
import { unitName } from '../../wording/unit-name.ts';
import { roughText, type Wording } from '../../wording/wording.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { FilterSelect } from './filter-panel.tsx';
import { phaseText } from './phase-text.ts';
import { placeText } from './place-text.ts';
import { stepTitle } from './timeline.tsx';

type Visit = TimelineView['visits'][number];
/** A line of the table: its name and what it says of either visit. */
type Row = readonly [name: string, left: string, right: string];

/** Two visits of a serial side by side; what differs has a mark. */
export function VisitComparison({ timeline }: { readonly timeline: TimelineView }) {
  const { screen } = useSituation();
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say, moment } = wording;
  const [leftId, rightId] = screen.audit.compared ?? ['', ''];
  const left = timeline.visits.find((visit) => visitName(visit) === leftId);
  const right = timeline.visits.find((visit) => visitName(visit) === rightId);
  if (left === undefined || right === undefined) return null;
  const options = timeline.visits.map((visit) => ({
    value: visitName(visit),
    label: [moment(visit.openedAt), phaseText(visit.phase, wording), placeOf(visit, wording)]
      .filter((text) => text !== '')
      .join(' · '),
  }));
  const steps = [...new Set([...left.captures, ...right.captures].map(({ stepId }) => stepId))];
  return (
    <section className="comparison" data-testid="comparison">
      <h2 className="timeline-serial">{say('audit.compare.title', { serial: timeline.serial })}</h2>
      <div className="filter-fields">
        <FilterSelect
          name="left"
          label={say('audit.compare.left')}
          value={leftId}
          empty={false}
          options={options}
          onChange={(name) => hands.setAudit({ compared: [name, rightId] })}
        />
        <FilterSelect
          name="right"
          label={say('audit.compare.right')}
          value={rightId}
          empty={false}
          options={options}
          onChange={(name) => hands.setAudit({ compared: [leftId, name] })}
        />
      </div>
      <ComparedTable caption={say('audit.compare.visit')} rows={visitRows(left, right, wording)} />
      {steps.map((stepId) => (
        <ComparedTable
          key={stepId}
          caption={say('audit.compare.step', {
            step:
              stepTitle(right, stepId, wording) === stepId
                ? stepTitle(left, stepId, wording)
                : stepTitle(right, stepId, wording),
          })}
          rows={captureRows(lastOf(left, stepId), lastOf(right, stepId), wording)}
        />
      ))}
    </section>
  );
}

/** Nothing at the desk of a bench. */
function placeOf({ place }: Visit, wording: Wording): string {
  return place === undefined ? '' : placeText(place, wording);
}

function ComparedTable({ caption, rows }: { readonly caption: string; readonly rows: readonly Row[] }) {
  const { say } = useWording();
  return (
    <table className="compared">
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">{say('audit.compare.what')}</th>
          <th scope="col">{say('audit.compare.left')}</th>
          <th scope="col">{say('audit.compare.right')}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([name, left, right]) => {
          const differs = left !== right;
          return (
            <tr key={name} className={differs ? 'differs' : ''}>
              <th scope="row">
                {differs && (
                  <span className="differs-mark" role="img" aria-label={say('audit.compare.differs')}>
                    ≠
                  </span>
                )}
                {name}
              </th>
              <td>{left}</td>
              <td>{right}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function lastOf({ captures }: Visit, stepId: string): CaptureView | undefined {
  return captures.filter((capture) => capture.stepId === stepId).at(-1);
}

function visitRows(left: Visit, right: Visit, wording: Wording): readonly Row[] {
  const { say } = wording;
  const row = (name: string, of: (visit: Visit) => string): Row => [name, of(left), of(right)];
  const unique = (values: readonly (string | undefined)[]) =>
    [...new Set(values.filter((value) => value !== undefined))].sort().join(', ') || '–';
  const isSite = left.place !== undefined;
  return [
    ...(isSite ? [row(say('audit.bench'), (visit) => placeOf(visit, wording))] : []),
    row(say('audit.state'), ({ phase }) => phaseText(phase, wording)),
    row(say('audit.filter.headId'), ({ headId }) => headId),
    row(say('audit.compare.sheet'), ({ sheet }) =>
      sheet === null ? '–' : say('audit.sheet', { name: sheet.sheetId, revision: sheet.revision }),
    ),
    row(say('audit.compare.people'), ({ events, captures }) =>
      unique([...events, ...captures].map(({ person }) => person)),
    ),
    row(say('audit.compare.lots'), ({ events }) => unique(events.map(({ details }) => details.lotId))),
    row(say('audit.compare.amendments'), ({ events }) =>
      String(events.filter(({ kind }) => kind === 'amendmentMade').length),
    ),
  ];
}

function captureRows(
  left: CaptureView | undefined,
  right: CaptureView | undefined,
  wording: Wording,
): readonly Row[] {
  const { say, quantity, percent, decimal, day } = wording;
  const row = (name: string, of: (capture: CaptureView) => string): Row => [
    name,
    left === undefined ? '–' : of(left),
    right === undefined ? '–' : of(right),
  ];
  const print = (value: number | null | undefined, none: string) =>
    value == null ? none : decimal(String(Number(value.toPrecision(6))));
  return [
    row(say('audit.value'), ({ measured }) => quantity(measured.text, measured.unit)),
    row(say('audit.decision'), ({ decision }) => say(`verdict.${decision}`)),
    row(say('audit.conformance'), ({ conformance }) => percent(conformance)),
    row(say('audit.indication'), ({ indication }) => quantity(indication.text, indication.unit)),
    row(
      say('audit.band'),
      ({ band, unit }) => `${print(band.lower, '−∞')} … ${print(band.upper, '∞')} ${unitName(unit)}`,
    ),
    row(say('audit.uncertainty'), ({ expandedUncertainty, unit }) =>
      quantity(roughText(expandedUncertainty, 2), unit),
    ),
    row(say('audit.attempts'), ({ attempt }) => String(attempt)),
    row(say('audit.instrument'), ({ instrument }) => instrument.name),
    row(say('instruments.certificate'), ({ instrument: { certificateNumber, calibrationDue } }) =>
      certificateNumber === null
        ? say('audit.noCertificate')
        : say('audit.certificate', {
            number: certificateNumber,
            day: calibrationDue === null ? '–' : day(calibrationDue),
          }),
    ),
    row(
      say('audit.profile'),
      ({ instrument: { profileName, profileHash } }) => `${profileName} · ${profileHash.slice(0, 12)}…`,
    ),
    row(say('audit.person'), ({ person }) => person),
  ];
}
