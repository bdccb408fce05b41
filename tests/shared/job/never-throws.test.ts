import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type JobCommand, jobCommandSchema } from '../../../shared/job/command.ts';
import type { JobContext } from '../../../shared/job/context.ts';
import { decide } from '../../../shared/job/decide.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import type { JobState } from '../../../shared/job/state.ts';
import { fit, lot, makeCapture, makeContext, makeSheet, makeStep, names, people, tare } from './workbench.ts';

// Any step at any time, so that little is refused for the order alone.
const steps = Object.entries(makeStep).map(([kind, make]) => ({ ...make(kind), after: [] }));
const sheet = makeSheet(steps);
const otherSheet = makeSheet(steps.slice(0, 3));
const stepId = fc.constantFrom(...Object.keys(makeStep), 'no-such-step', '__proto__', 'constructor');
const words = fc.constantFrom('A reason.', 'x');
const jobId = fc.constantFrom('job-1', 'job-2');
const version = { expectedVersion: fc.option(fc.nat(5), { nil: undefined }) };
const step = { jobId, stepId, ...version };

const command: fc.Arbitrary<JobCommand> = fc.oneof(
  fc.record({
    kind: fc.constant('openJob' as const),
    serial: fc.constantFrom('SN-1', 'SN-2'),
    headId: fc.constantFrom('head-test', 'head-other'),
    sheetId: fc.option(fc.constantFrom('sheet-test', 'sheet-other'), { nil: undefined }),
  }),
  fc.record({
    kind: fc.constantFrom(
      'acknowledgeCaution',
      'confirmInstruction',
      'takeTare',
      'captureMass',
      'captureTorque',
      'signOffStep',
    ),
    ...step,
  }),
  fc.record({ kind: fc.constant('answerCheck' as const), ...step, answer: fc.constantFrom('yes', 'no') }),
  fc.record({
    kind: fc.constant('disposePart' as const),
    ...step,
    choice: fc.constantFrom('reuse', 'replace', 'scrap'),
    reason: fc.option(words, { nil: undefined }),
  }),
  fc.record({
    kind: fc.constant('useConsumable' as const),
    ...step,
    lotId: fc.option(fc.constantFrom('lot-1', 'lot-2'), { nil: undefined }),
    quantity: fc.option(fc.constantFrom(1, 1e9), { nil: undefined }),
  }),
  fc.record({
    kind: fc.constant('recordNumeric' as const),
    ...step,
    text: fc.oneof(fc.string(), fc.constant('9'.repeat(400))),
  }),
  fc.record({ kind: fc.constant('writeNote' as const), ...step, text: words }),
  fc.record({ kind: fc.constant('reopenStep' as const), ...step, reason: words }),
  fc.record({ kind: fc.constant('grantConcession' as const), ...step, reason: words, limit: words }),
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

const context: fc.Arbitrary<JobContext> = fc.record({
  at: fc.constant('2026-11-25T09:00:00.000+01:00'),
  person: fc.constantFrom(...Object.values(people), { personId: 'nobody', roles: [] }),
  pinVerified: fc.boolean(),
  ids: fc.constant({ jobId: 'job-1' }),
  sheet: fc.constantFrom(undefined, makeContext(sheet).sheet, makeContext(otherSheet).sheet),
  workshop: fc.constant('Invented workshop'),
  simulated: fc.boolean(),
  openJobOfSerial: fc.constantFrom(undefined, 'job-9'),
  capture: fc.constantFrom(undefined, ...captures),
  tare: fc.constantFrom(undefined, tare),
  instrumentFitness: fc.constantFrom(undefined, fit, { ...fit, usable: false, code: 'out_of_date' as const }),
  lot: fc.constantFrom(undefined, lot),
  secondPerson: fc.option(
    fc.constantFrom(...Object.values(people)).map((actor) => ({ ...actor, pinVerified: true })),
    { nil: undefined },
  ),
});

function begun(): JobState | undefined {
  const opened = decide(
    undefined,
    { kind: 'openJob', serial: 'SN-1', headId: 'head-test' },
    makeContext(sheet),
  );
  return opened.ok ? foldAll(opened.value) : undefined;
}

it('answers any command in any circumstances with events or a refusal in words, and never throws', () => {
  const states = [undefined, begun(), { ...(begun() as JobState), phase: 'voided' as const }];
  const refused = new Set<string>();
  fc.assert(
    fc.property(fc.constantFrom(...states), command, context, (state, asked, circumstances) => {
      const result = decide(state, asked, circumstances);
      if (result.ok) return;
      refused.add(result.error.code);
      expect(result.error.message).toMatch(/^\S.*[.!]$/);
      expect(result.error.field).not.toBe('');
    }),
    { numRuns: 20_000 },
  );
  expect(refused.size).toBeGreaterThan(25);
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
