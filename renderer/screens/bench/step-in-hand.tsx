import { Cautions } from '../../parts/cautions.tsx';
import { useSituation, useWording } from '../../workbench.ts';
import { StepBody } from './step-body.tsx';

/** The step in hand: its title as the largest text, its cautions, and what its kind needs. */
export function StepInHand() {
  const { job, step, stepState } = useSituation();
  const { say, of } = useWording();
  if (job === null || step === null) return null;
  const number = job.sheet.steps.findIndex(({ stepId }) => stepId === step.stepId) + 1;
  const most = stepState?.maximumAttempts ?? null;
  const attempt = Math.min((stepState?.attemptsUsed ?? 0) + 1, most ?? 1);
  return (
    <section className="step" data-kind={step.kind} data-testid="step" data-step={step.stepId}>
      <header className="step-head">
        <p className="step-number">
          <span>{say(`step.${step.kind}`)}</span>
          <span>{say('job.stepOf', { number, count: job.sheet.steps.length })}</span>
          {!step.mandatory && <span>{say('job.optional')}</span>}
          {most !== null && <span>{say('job.attempt', { number: attempt, most })}</span>}
        </p>
        <h1 tabIndex={-1} data-testid="step-title" {...(hasField(step.kind) ? {} : { 'data-entry': '' })}>
          {of(step.title)}
        </h1>
      </header>
      <Cautions cautions={step.cautions} large={step.kind === 'caution'} />
      <StepBody step={step} />
    </section>
  );
}

/** Steps whose body has a place of its own for the focus. */
function hasField(kind: string): boolean {
  return !['caution', 'instruction', 'mass', 'torque'].includes(kind);
}
