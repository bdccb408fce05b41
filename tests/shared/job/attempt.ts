import { isDeepStrictEqual } from 'node:util';
import type fc from 'fast-check';
import { decide } from '../../../shared/job/decide.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { fold } from '../../../shared/job/fold.ts';
import type { JobState } from '../../../shared/job/state.ts';
import { type Model, mayBegin, progress } from './model.ts';
import { type Attempt, trialOf } from './trial.ts';
import { makeContext } from './workbench.ts';

/** The real thing under test: events through decide, state through fold. */
export interface Real {
  readonly jobId: string;
  state: JobState | undefined;
  readonly events: JobEvent[];
  /** How often a release was taken, so that the test knows that the walk gets there. */
  released: number;
}

/** One command of the walk, as fast-check runs it. */
export class AttemptCommand implements fc.Command<Model, Real> {
  readonly attempt: Attempt;
  constructor(attempt: Attempt) {
    this.attempt = attempt;
  }
  check(): boolean {
    return true;
  }
  run(model: Model, real: Real): void {
    const trial = trialOf(this.attempt, model, real.jobId);
    const context = makeContext(model.sheet, { ids: { jobId: real.jobId }, ...trial.changes });
    const result = decide(real.state, trial.command, context);
    if (result.ok !== trial.taken) {
      const told = result.ok ? 'took it' : `refused it (${result.error.code}: ${result.error.message})`;
      throw new Error(
        `the model ${trial.taken ? 'takes' : 'refuses'} ${JSON.stringify(trial.command)}, decide ${told}`,
      );
    }
    if (!result.ok) return;
    trial.effect();
    for (const event of result.value) {
      real.events.push(event);
      real.state = fold(real.state, event);
      model.events += 1;
      if (event.kind === 'jobReleased') real.released += 1;
    }
    compare(model, real.state);
  }
  toString(): string {
    return JSON.stringify(this.attempt);
  }
}

function compare(model: Model, state: JobState | undefined): void {
  const expected = {
    phase: model.phase,
    holder: model.holder,
    events: model.events,
    steps: model.sheet.steps.map((step) => {
      const mine = progress(model, step.stepId);
      const names = { passed: 'done', failed: 'failed', conceded: 'conceded', noted: 'noted' } as const;
      const open = mayBegin(model, step.stepId) ? 'ready' : 'waiting';
      const status = mine.standing === 'open' ? open : names[mine.standing];
      return [step.stepId, status, mine.used, mine.tries, mine.tared];
    }),
  };
  const actual = {
    phase: state?.phase,
    holder: state?.holderPersonId,
    events: state?.version,
    steps: state?.steps.map((step) => [
      step.stepId,
      step.status,
      step.attemptsUsed,
      step.attempts.length,
      step.tare !== null,
    ]),
  };
  if (!isDeepStrictEqual(actual, expected)) {
    throw new Error(`model ${JSON.stringify(expected)}\nfold  ${JSON.stringify(actual)}`);
  }
  const workable = (state?.steps ?? []).filter((step) => step.status === 'ready' || step.status === 'failed');
  const isAtWork = state?.phase === 'open' || state?.phase === 'held';
  const current = isAtWork ? (workable.find((step) => step.mandatory) ?? workable[0]) : undefined;
  if ((state?.currentStepId ?? null) !== (current?.stepId ?? null))
    throw new Error('the current step is wrong');
}
