import type { TimelineView } from '../../../shared/contract.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { visitName } from '../../state/audit-state.ts';
import { shownValue } from '../../state/shown-value.ts';
import type { Wording } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';
import { CaptureCard } from './capture-card.tsx';
import { detailText, eventWords } from './event-words.ts';
import { JobsWith } from './jobs-with.tsx';
import { phaseText } from './phase-text.ts';
import { placeText } from './place-text.ts';
import { findingSentence } from './problem-sentence.ts';

type Visit = TimelineView['visits'][number];

/** A step as the sheet of that visit names it; its id where the sheet does not say. */
export function stepTitle({ titles }: Visit, stepId: string, { of }: Wording): string {
  const title = Object.hasOwn(titles.steps, stepId) ? titles.steps[stepId] : undefined;
  return title === undefined ? stepId : of(title);
}

/** The visits of a serial, newest first, with their readings. `brief`: readings in one line each. */
export function Timeline({
  timeline,
  brief = false,
}: {
  readonly timeline: TimelineView;
  readonly brief?: boolean;
}) {
  const wording = useWording();
  if (timeline.visits.length === 0) return <p>{wording.say('audit.none')}</p>;
  const newestFirst = [...timeline.visits].sort((a, b) => (a.openedAt < b.openedAt ? 1 : -1));
  return (
    <div className="timeline" data-testid="timeline">
      {!brief && (
        <h2 className="timeline-serial" data-testid="timeline-serial">
          {wording.say('audit.readingsOf', { serial: timeline.serial, count: captureCount(timeline) })}
        </h2>
      )}
      {newestFirst.map((visit) => (
        <VisitCard key={visitName(visit)} visit={visit} brief={brief} />
      ))}
    </div>
  );
}

function captureCount(timeline: TimelineView): number {
  return timeline.visits.reduce((count, visit) => count + visit.captures.length, 0);
}

function VisitCard({ visit, brief }: { readonly visit: Visit; readonly brief: boolean }) {
  const wording = useWording();
  const { say, day, moment, quantity } = wording;
  return (
    <section className="visit" data-testid={`visit-${visit.jobId}`}>
      <header className="visit-head">
        <h3>{say('audit.visit', { day: day(visit.openedAt) })}</h3>
        {visit.place !== undefined && (
          <span
            className={visit.place.leftBehind ? 'tag is-left-behind' : 'tag'}
            title={visit.place.stationId}
            data-testid="visit-place"
          >
            {placeText(visit.place, wording)}
          </span>
        )}
        <span>{visit.titles.head === null ? visit.headId : wording.of(visit.titles.head)}</span>
        <span className="tag">{phaseText(visit.phase, wording)}</span>
        {visit.sheet !== null && (
          <span className="quiet">
            {say('audit.sheet', { name: visit.sheet.sheetId, revision: visit.sheet.revision })}
          </span>
        )}
        {visit.simulated && <span className="tag is-simulated">{say('audit.simulated')}</span>}
      </header>
      {!brief && (
        <p className="hash">
          {visit.recordHash === null ? say('audit.noRecord') : `${say('audit.record')}: ${visit.recordHash}`}
        </p>
      )}
      {!brief && lotsOf(visit).length > 0 && (
        <p className="jobs-with">
          {lotsOf(visit).map((lotId) => (
            <JobsWith key={lotId} label={say('audit.jobsWith', { what: lotId })} filter={{ lotId }} />
          ))}
        </p>
      )}
      {(visit.damage ?? [])
        .map((found) => findingSentence(found, wording))
        .map((sentence) => (
          <p key={sentence} className="is-fail with-icon">
            <VerdictIcon verdict="fail" /> {say('audit.damaged', { sentence })}
          </p>
        ))}
      {visit.captures.length === 0 && <p>{say('audit.none')}</p>}
      {brief ? (
        <ul className="readings">
          {visit.captures.map((capture) => (
            <li key={capture.captureId} className={`is-${capture.decision.replace(' ', '-')}`}>
              <VerdictIcon verdict={capture.decision} />
              <strong>
                {quantity(
                  shownValue({
                    indication: capture.indication,
                    measured: { value: capture.value, unit: capture.unit },
                  }),
                  capture.unit,
                )}
              </strong>
              <span>{say(`verdict.${capture.decision}`)}</span>
              <span className="readings-step">
                {stepTitle(visit, capture.stepId, wording)} · {moment(capture.at)} · {capture.person}
              </span>
            </li>
          ))}
        </ul>
      ) : (
        visit.captures.map((capture) => (
          <CaptureCard
            key={capture.captureId}
            capture={capture}
            stepTitle={stepTitle(visit, capture.stepId, wording)}
          />
        ))
      )}
      {!brief && <VisitEvents visit={visit} />}
    </section>
  );
}

function lotsOf({ events }: Visit): readonly string[] {
  return [...new Set(events.flatMap(({ details }) => details.lotId ?? []))];
}

function VisitEvents({ visit }: { readonly visit: Visit }) {
  const wording = useWording();
  const { say, moment } = wording;
  return (
    <details>
      <summary>
        {say('audit.events')} ({visit.events.length})
      </summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard */}
      <div className="scroll-box" tabIndex={0}>
        <table>
          <thead>
            <tr>
              <th scope="col">#</th>
              <th scope="col">{say('audit.time')}</th>
              <th scope="col">{say('audit.person')}</th>
              <th scope="col">{say('audit.what')}</th>
              <th scope="col">{say('audit.step')}</th>
              <th scope="col">{say('audit.details')}</th>
            </tr>
          </thead>
          <tbody>
            {visit.events.map((event) => (
              <tr key={event.sequence}>
                <td>{event.sequence}</td>
                <td>{moment(event.at)}</td>
                <td>{event.person}</td>
                <td>{eventWords(event.kind, wording)}</td>
                <td>{event.stepId === null ? '' : stepTitle(visit, event.stepId, wording)}</td>
                <td>{detailText(event.details, wording)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
