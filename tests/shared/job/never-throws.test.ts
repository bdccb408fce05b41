import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type JobCommand, jobCommandSchema } from '../../../shared/job/command.ts';
import type { JobContext } from '../../../shared/job/context.ts';
import { decide } from '../../../shared/job/decide.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import type { JobState } from '../../../shared/job/state.ts';
import type { Actor } from '../../../shared/people/role.ts';
import {
  fit,
  hash,
  lot,
  makeCapture,
  makeContext,
  makeSheet,
  makeStep,
  names,
  people,
  tare,
} from './workbench.ts';

// Any step at any time, so that little is refused for the order alone.
const steps = Object.entries(makeStep).map(([kind, make]) => ({ ...make(kind), after: [] }));
const sheet = makeSheet(steps);
const otherSheet = makeSheet(steps.slice(0, 3));
/** Mostly the first, sometimes one of the rest, so that the later guards are reached as well. */
function mostly<Usual, Other>(usual: Usual, ...others: Other[]): fc.Arbitrary<Usual | Other> {
  return fc.oneof(
    { weight: 8, arbitrary: fc.constant(usual) },
    { weight: 2, arbitrary: fc.constantFrom<Usual | Other>(usual, ...others) },
  );
}

const words = fc.constantFrom('A reason.', 'x');
const jobId = mostly('job-1', 'job-2');
const version = { expectedVersion: mostly(undefined, 1, 2) };
const at = (usual: string) => ({
  jobId,
  stepId: mostly(usual, ...Object.keys(makeStep), 'no-such-step', '__proto__', 'constructor'),
  ...version,
});
const onStep = <Kind extends string>(kind: Kind, usual: string) =>
  fc.record({ kind: fc.constant(kind), ...at(usual) });

const command: fc.Arbitrary<JobCommand> = fc.oneof(
  fc.record({
    kind: fc.constant('openJob' as const),
    serial: fc.constantFrom('SN-1', 'SN-2'),
    headId: fc.constantFrom('head-test', 'head-other'),
    sheetId: fc.option(fc.constantFrom('sheet-test', 'sheet-other'), { nil: undefined }),
  }),
  onStep('acknowledgeCaution', 'caution'),
  onStep('confirmInstruction', 'instruction'),
  onStep('takeTare', 'mass'),
  onStep('captureMass', 'mass'),
  onStep('captureTorque', 'torque'),
  onStep('signOffStep', 'signOff'),
  fc.record({
    kind: fc.constant('answerCheck' as const),
    ...at('check'),
    answer: fc.constantFrom('yes', 'no'),
  }),
  fc.record({
    kind: fc.constant('disposePart' as const),
    ...at('disposition'),
    choice: fc.constantFrom('reuse', 'replace', 'scrap'),
    reason: fc.option(words, { nil: undefined }),
  }),
  fc.record({
    kind: fc.constant('useConsumable' as const),
    ...at('consumable'),
    lotId: fc.option(fc.constantFrom('lot-1', 'lot-2'), { nil: undefined }),
    quantity: fc.option(fc.constantFrom(1, 1e9), { nil: undefined }),
  }),
  fc.record({
    kind: fc.constant('recordNumeric' as const),
    ...at('numeric'),
    text: fc.oneof(fc.string(), fc.constant('9'.repeat(400))),
  }),
  fc.record({ kind: fc.constant('writeNote' as const), ...at('note'), text: words }),
  fc.record({ kind: fc.constant('reopenStep' as const), ...at('check'), reason: words }),
  fc.record({ kind: fc.constant('grantConcession' as const), ...at('check'), reason: words, limit: words }),
  fc.record({ kind: fc.constantFrom('holdJob', 'resumeJob', 'releaseJob'), jobId, ...version }),
  fc.record({ kind: fc.constantFrom('abandonJob', 'voidJob'), jobId, reason: words }),
  fc.record({
    kind: fc.constant('handOverJob' as const),
    jobId,
    toPersonId: fc.constantFrom(...names, 'nobody'),
  }),
  fc.record({ kind: fc.constant('amend' as const), jobId, of: fc.nat(5), reason: words, text: words }),
);

const mass = makeStep.mass('mass');
const torque = makeStep.torque('torque');
const captures =
  mass.kind === 'mass' && torque.kind === 'torque'
    ? [makeCapture(mass, 18, 1, tare), makeCapture(mass, 99, 2, null), makeCapture(torque, 27, 1, null)]
    : [];

const pinned = { sheet, hash };
const context: fc.Arbitrary<JobContext> = fc.record({
  at: fc.constant('2026-11-25T09:00:00.000+01:00'),
  person: mostly<Actor, Actor>(people.amber, ...Object.values(people), { personId: 'nobody', roles: [] }),
  pinVerified: fc.boolean(),
  ids: fc.constant({ jobId: 'job-1' }),
  sheet: mostly(pinned, undefined, { sheet: otherSheet, hash }, { sheet, hash: '00'.repeat(32) }),
  workshop: fc.constant('Invented workshop'),
  simulated: mostly(true, false),
  openJobOfSerial: mostly(undefined, 'job-9'),
  capture: fc.constantFrom(undefined, ...captures),
  tare: fc.constantFrom(undefined, tare),
  instrumentFitness: mostly(fit, undefined, { ...fit, usable: false, code: 'out_of_date' as const }),
  lot: fc.constantFrom(undefined, lot),
  secondPerson: fc.option(
    fc.constantFrom(...Object.values(people)).map((actor) => ({ ...actor, pinVerified: true })),
    { nil: undefined },
  ),
});

function begun(): JobState {
  const opened = decide(
    undefined,
    { kind: 'openJob', serial: 'SN-1', headId: 'head-test' },
    makeContext(sheet),
  );
  const state = opened.ok ? foldAll(opened.value) : undefined;
  if (state === undefined) throw new Error('the job did not open');
  return state;
}

it('answers any command in any circumstances with events or a refusal in words, and never throws', () => {
  const job = begun();
  const voided: JobState = { ...job, phase: 'voided' as const };
  const failed = {
    ...job,
    steps: job.steps.map((step) => ({ ...step, status: 'failed' as const, attemptsUsed: 3, tare })),
  };
  const tared = { ...job, steps: job.steps.map((step) => ({ ...step, tare })) };
  const refused = new Set<string>();
  fc.assert(
    fc.property(
      mostly<JobState, JobState | undefined>(job, undefined, voided, tared, failed),
      command,
      context,
      (state, asked, circumstances) => {
        const result = decide(state, asked, circumstances);
        if (result.ok) return;
        refused.add(result.error.code);
        expect(result.error.message).toMatch(/^\S.*[.!]$/);
        expect(result.error.field).not.toBe('');
      },
    ),
    { numRuns: 20_000 },
  );
  expect(refused.size).toBeGreaterThan(35);
});

it('takes only commands of a known shape, and names the field that is wrong', () => {
  expect(
    jobCommandSchema.safeParse({ kind: 'captureMass', jobId: 'job-1', stepId: 'fill', value: 18 }).success,
  ).toBe(false);
  expect(
    jobCommandSchema.safeParse({ kind: 'recordNumeric', jobId: 'j', stepId: 's', text: '41,5' }).success,
  ).toBe(false);
  expect(jobCommandSchema.safeParse({ kind: 'openJob', serial: ' SN-1', headId: 'h' }).success).toBe(false);
  expect(jobCommandSchema.safeParse({ kind: 'openJob', serial: 'SN 1/2', headId: 'h' }).success).toBe(true);
});
