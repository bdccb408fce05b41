import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type JobEvent, jobEventSchema } from '../../../shared/job/event.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { Step } from '../../../shared/sheet/step.ts';
import { AttemptCommand, type Real } from './attempt.ts';
import { freshModel, type Model } from './model.ts';
import { attempt } from './trial.ts';
import { makeSheet, makeStep } from './workbench.ts';

const makers: readonly ((stepId: string) => Step)[] = [
  makeStep.caution,
  makeStep.instruction,
  makeStep.check,
  (stepId) => makeStep.check(stepId, 'note'),
  makeStep.disposition,
  makeStep.consumable,
  makeStep.mass,
  (stepId) => makeStep.mass(stepId, 'none'),
  makeStep.torque,
  (stepId) => makeStep.torque(stepId, true),
  makeStep.numeric,
  makeStep.note,
  makeStep.signOff,
  (stepId) => makeStep.signOff(stepId, ['lead']),
];

/** Sheets of two to seven steps of any kind, in any order that has no circle: the default, or named steps before. */
const anySheet: fc.Arbitrary<ServiceSheet> = fc
  .array(
    fc.record({
      maker: fc.constantFrom(...makers),
      optional: fc.boolean(),
      after: fc.option(fc.array(fc.nat(6), { maxLength: 2 })),
    }),
    { minLength: 2, maxLength: 7 },
  )
  .map((drafts) =>
    makeSheet(
      drafts.map(({ maker, optional, after }, index) => {
        const step = maker(`s${index}`);
        const mayBeOptional = !['mass', 'torque', 'signOff'].includes(step.kind);
        const names = [...new Set((after ?? []).filter((place) => place < index))].map(
          (place) => `s${place}`,
        );
        return {
          ...step,
          mandatory: step.mandatory && !(optional && mayBeOptional),
          ...(after === null ? {} : { after: names }),
        };
      }),
    ),
  );

const walk = fc.commands([attempt.map((one) => new AttemptCommand(one))], { maxCommands: 100, size: 'max' });

/** One walk: agreement with the model is checked at every command; here the stored events are replayed. */
function runWalk(sheet: ServiceSheet, commands: Iterable<fc.Command<Model, Real>>, tally: Tally): void {
  const real: Real = { jobId: 'job-1', state: undefined, events: [], released: 0 };
  const open = new AttemptCommand({
    kind: 'open',
    pick: 0,
    aimed: true,
    who: 'amber',
    second: 'cedar',
    pin: true,
    outcome: 'pass',
  });
  fc.modelRun(() => ({ model: freshModel(sheet), real }), [open, ...commands]);
  const replayed = foldAll(
    real.events.map((event) => jobEventSchema.parse(JSON.parse(JSON.stringify(event)))),
  );
  if (!isDeepStrictEqual(replayed, real.state))
    throw new Error('replaying the stored events gives another job');
  checkRelease(sheet, real.events);
  tally.walks += 1;
  tally.events += real.events.length;
  tally.released += real.released;
  for (const event of real.events) tally.kinds.add(event.kind);
}

/** The law of release, read from the events alone: every mandatory step judged pass or conceded, nothing failed. */
function checkRelease(sheet: ServiceSheet, events: readonly JobEvent[]): void {
  const releasedAt = events.findIndex((event) => event.kind === 'jobReleased');
  if (releasedAt < 0) return;
  const earlier = events.slice(0, releasedAt);
  for (const step of sheet.steps) {
    const last = earlier.findLast(
      (event) =>
        ('stepId' in event && event.stepId === step.stepId && event.kind !== 'tareTaken') ||
        (event.kind === 'stepReopened' && event.alsoReopened.includes(step.stepId)),
    );
    if (last === undefined ? step.mandatory : !isGood(last, step)) {
      throw new Error(`released with ${step.stepId} at ${last?.kind ?? 'nothing'}`);
    }
  }
}

function isGood(last: JobEvent, step: Step): boolean {
  switch (last.kind) {
    case 'measurementCaptured': {
      const { decision } = last.capture.judgement;
      const allows = 'band' in step && step.acceptConditionalPass === true;
      return decision === 'pass' || (decision === 'conditional pass' && allows);
    }
    case 'checkAnswered':
      return last.answer === 'yes' || !step.mandatory;
    case 'numericRecorded':
      return last.within;
    case 'stepReopened':
      return !step.mandatory;
    default:
      return true;
  }
}

interface Tally {
  walks: number;
  events: number;
  released: number;
  kinds: Set<string>;
}

it('goes through ten thousand random walks of commands as a second account of the rules says', () => {
  const tally: Tally = { walks: 0, events: 0, released: 0, kinds: new Set() };
  fc.assert(
    fc.property(anySheet, walk, (sheet, commands) => runWalk(sheet, commands, tally)),
    { numRuns: 10_000 },
  );
  expect(tally.walks).toBeGreaterThanOrEqual(10_000);
  // The walks must reach everything, or they would prove nothing.
  expect([...tally.kinds].sort()).toEqual(
    jobEventSchema.options.map((option) => option.shape.kind.value).sort(),
  );
  expect(tally.released).toBeGreaterThan(500);
}, 120_000);
