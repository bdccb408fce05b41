import type { JobState } from '../../../shared/job/state.ts';
import { EntryField } from '../../parts/entry-field.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { shownValue } from '../../state/shown-value.ts';
import type { Wording } from '../../wording/wording.ts';
import { useSituation, useWording } from '../../workbench.ts';

/** A job that is on hold, ready for release, or closed. */
export function JobEnd() {
  const { job, phase, snapshot } = useSituation();
  const wording = useWording();
  const { say } = wording;
  if (job === null) return null;
  const { state, sheet } = job;
  switch (phase) {
    case 'held':
      return (
        <section className="step" data-testid="held">
          <h1>{say('job.held')}</h1>
          {state.holdReason !== null && (
            <p className="step-words">{say('job.heldReason', { reason: state.holdReason })}</p>
          )}
        </section>
      );
    case 'complete':
      return (
        <section className="step" data-testid="complete">
          <h1>{say('job.complete')}</h1>
          <p className="step-words">{say('job.completeText')}</p>
          <Readings />
          <EntryField
            kind="secret"
            testId="pin"
            label={say('step.signOff.pin', { name: snapshot?.signedIn?.name ?? '' })}
          />
        </section>
      );
    default: {
      const verdict = closedVerdict(state);
      return (
        <section className="step" data-testid={state.phase}>
          <h1 className={`is-${verdict.replace(' ', '-')} with-icon`}>
            <VerdictIcon verdict={verdict} />
            {closedTitle(state, wording)}
          </h1>
          <p className="step-words">{closedText(state.phase, wording)}</p>
          <Readings />
          {state.nextServiceDue !== null && (
            <p className="step-words">{say('job.nextService', { day: wording.day(state.nextServiceDue) })}</p>
          )}
          <p className="quiet">{wording.of(sheet.title)}</p>
        </section>
      );
    }
  }
}

/** The newest capture of each measured step, one line each. */
function Readings() {
  const { job } = useSituation();
  const { say, of, quantity } = useWording();
  const captures = (job?.state.steps ?? []).flatMap((step) => {
    const capture = step.attempts.at(-1)?.capture;
    return capture === undefined ? [] : [{ capture, stepId: step.stepId, status: step.status }];
  });
  if (job === null || captures.length === 0) return null;
  return (
    <ul className="readings" aria-label={say('job.readings')}>
      {captures.map(({ capture, stepId, status }) => {
        const title = job.sheet.steps.find((step) => step.stepId === stepId)?.title;
        const { decision } = capture.judgement;
        return (
          <li key={capture.captureId} className={`is-${decision.replace(' ', '-')}`}>
            <VerdictIcon verdict={decision} />
            <strong>{quantity(shownValue(capture), capture.measured.unit)}</strong>
            <span>
              {say(`verdict.${decision}`)}
              {status === 'conceded' && `, ${say('status.conceded')}`}
            </span>
            <span className="readings-step">{title === undefined ? stepId : of(title)}</span>
          </li>
        );
      })}
    </ul>
  );
}

/** A release that a lead's concession made possible must not look like one without. */
function hasConcession({ steps }: JobState): boolean {
  return steps.some(({ status }) => status === 'conceded');
}

function closedVerdict(state: JobState): 'pass' | 'conditional pass' | 'fail' {
  if (state.phase !== 'released') return 'fail';
  return hasConcession(state) ? 'conditional pass' : 'pass';
}

function closedTitle(state: JobState, { say }: Wording): string {
  const { phase } = state;
  if (phase === 'released') return say(hasConcession(state) ? 'job.releasedConceded' : 'job.released');
  return say(phase === 'voided' ? 'job.voided' : 'job.abandoned');
}

function closedText(phase: string, { say }: Wording): string {
  if (phase === 'released') return say('job.releasedText');
  return say(phase === 'voided' ? 'job.voidedText' : 'job.abandonedText');
}
