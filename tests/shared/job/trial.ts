import fc from 'fast-check';
import type { JobCommand } from '../../../shared/job/command.ts';
import type { JobContext } from '../../../shared/job/context.ts';
import type { Step } from '../../../shared/sheet/step.ts';
import {
  isBench,
  isLead,
  isOwnWork,
  type Model,
  mayDoStep,
  mayRelease,
  mayReopen,
  type Outcome,
  progress,
  record,
  reopen,
} from './model.ts';
import { lot, makeCapture, type Name, names, people, tare } from './workbench.ts';

export const attemptKinds = [
  'work',
  'work',
  'work',
  'work',
  'work',
  'tare',
  'wrong kind',
  'open',
  'note',
  'concede',
  'reopen',
  'hold',
  'resume',
  'hand over',
  'abandon',
  'release',
  'void',
  'amend',
] as const;
type AttemptKind = (typeof attemptKinds)[number];

/** What somebody tries; worked out against the model only when it runs, so that it often fits. */
export interface Attempt {
  readonly kind: AttemptKind;
  /** Which step: of those that may be done when `aimed`, of all otherwise. */
  readonly pick: number;
  readonly aimed: boolean;
  readonly who: Name | 'holder';
  readonly second: Name;
  readonly pin: boolean;
  readonly outcome: Outcome;
}

export const attempt: fc.Arbitrary<Attempt> = fc.record({
  kind: fc.constantFrom(...attemptKinds),
  pick: fc.nat(20),
  aimed: fc.oneof({ weight: 9, arbitrary: fc.constant(true) }, { weight: 1, arbitrary: fc.constant(false) }),
  who: fc.oneof(
    { weight: 4, arbitrary: fc.constant('holder' as const) },
    { weight: 1, arbitrary: fc.constantFrom(...names) },
  ),
  second: fc.constantFrom(...names),
  pin: fc.oneof({ weight: 9, arbitrary: fc.constant(true) }, { weight: 1, arbitrary: fc.constant(false) }),
  outcome: fc.oneof(
    { weight: 6, arbitrary: fc.constant('pass' as const) },
    { weight: 1, arbitrary: fc.constantFrom('conditional pass' as const, 'fail' as const) },
  ),
});

export interface Trial {
  readonly command: JobCommand;
  readonly changes: Partial<JobContext>;
  /** What the model says. */
  readonly taken: boolean;
  /** What it then does to the model. */
  readonly effect: () => void;
}

function stepOf({ pick, aimed }: Attempt, model: Model, suits: (step: Step) => boolean): Step {
  const { steps } = model.sheet;
  const fitting = aimed ? steps.filter(suits) : [];
  const choice = fitting.length > 0 ? fitting : steps;
  const step = choice[pick % choice.length];
  if (step === undefined) throw new Error('the sheet has no steps');
  return step;
}

/** What somebody tries, as a command, and whether the model takes it. */
export function trialOf(tried: Attempt, model: Model, jobId: string): Trial {
  const who = tried.who === 'holder' ? model.holder : tried.who;
  const person = people[who];
  const bench = isBench(who);
  const isHolder = who === model.holder;
  const live = model.phase === 'open';
  const unclosed = live || model.phase === 'held';
  const base = { person, pinVerified: tried.pin };
  const phase = (next: Model['phase']) => () => {
    model.phase = next;
  };
  switch (tried.kind) {
    case 'open':
      return {
        command: { kind: 'openJob', serial: 'SN-1', headId: 'head-test' },
        changes: base,
        taken: bench && model.phase === 'none',
        effect: () => {
          model.phase = 'open';
          model.holder = who;
        },
      };
    case 'work':
    case 'wrong kind': {
      const step = stepOf(tried, model, (candidate) => mayDoStep(model, candidate));
      const trial = workOn(step, tried, model, jobId, who);
      const wrong = tried.kind === 'wrong kind';
      const command =
        wrong && trial.command.kind !== 'confirmInstruction'
          ? ({ kind: 'confirmInstruction', jobId, stepId: step.stepId } as const)
          : trial.command;
      const isStill = command === trial.command;
      return {
        ...trial,
        command,
        changes: { ...base, ...trial.changes },
        taken:
          isStill &&
          bench &&
          live &&
          (isHolder || step.kind === 'signOff') &&
          mayDoStep(model, step) &&
          trial.taken,
      };
    }
    case 'tare': {
      const step = stepOf(
        tried,
        model,
        (candidate) => candidate.kind === 'mass' && mayDoStep(model, candidate),
      );
      return {
        command: { kind: 'takeTare', jobId, stepId: step.stepId },
        changes: base,
        taken:
          bench &&
          live &&
          isHolder &&
          step.kind === 'mass' &&
          step.tare === 'station' &&
          mayDoStep(model, step),
        effect: () => {
          progress(model, step.stepId).tared = true;
        },
      };
    }
    case 'note':
      return {
        command: { kind: 'writeNote', jobId, text: 'The case has a scratch.' },
        changes: base,
        taken: bench && unclosed,
        effect: () => {},
      };
    case 'concede': {
      const step = stepOf(tried, model, ({ stepId }) => progress(model, stepId).standing === 'failed');
      const mine = progress(model, step.stepId);
      const own = isOwnWork(model, step.stepId, who);
      return {
        command: {
          kind: 'grantConcession',
          jobId,
          stepId: step.stepId,
          reason: 'Light duty.',
          limit: 'This serial.',
        },
        changes: base,
        taken: live && isLead(who) && mine.standing === 'failed' && !own && tried.pin,
        effect: () => {
          mine.standing = 'conceded';
        },
      };
    }
    case 'reopen': {
      const step = stepOf(tried, model, ({ stepId }) => progress(model, stepId).tries > 0);
      const renewed = isLead(who) && !isOwnWork(model, step.stepId, who);
      return {
        command: { kind: 'reopenStep', jobId, stepId: step.stepId, reason: 'Wrong part.' },
        changes: base,
        taken: bench && live && (isHolder || isLead(who)) && mayReopen(model, step, who),
        effect: () => reopen(model, step.stepId, renewed),
      };
    }
    case 'hold':
      return {
        command: { kind: 'holdJob', jobId },
        changes: base,
        taken: live && (isHolder || isLead(who)),
        effect: phase('held'),
      };
    case 'resume':
      return {
        command: { kind: 'resumeJob', jobId },
        changes: base,
        taken: model.phase === 'held' && (isHolder || isLead(who)),
        effect: phase('open'),
      };
    case 'hand over':
      return {
        command: { kind: 'handOverJob', jobId, toPersonId: tried.second },
        changes: { ...base, secondPerson: { ...people[tried.second], pinVerified: false } },
        taken:
          unclosed && (isHolder || isLead(who)) && tried.second !== model.holder && isBench(tried.second),
        effect: () => {
          model.holder = tried.second;
        },
      };
    case 'abandon':
      // Rare, so that most walks live long enough to get somewhere.
      return {
        command: { kind: 'abandonJob', jobId, reason: 'The customer wants it back.' },
        changes: tried.pick === 0 ? base : { ...base, person: people.ember },
        taken: tried.pick === 0 && unclosed && (isHolder || isLead(who)),
        effect: phase('abandoned'),
      };
    case 'release':
      return {
        command: { kind: 'releaseJob', jobId },
        changes: base,
        taken: live && (isHolder || isLead(who)) && mayRelease(model) && tried.pin,
        effect: phase('released'),
      };
    case 'void':
      return {
        command: { kind: 'voidJob', jobId, reason: 'Wrong serial.' },
        changes: { ...base, secondPerson: { ...people[tried.second], pinVerified: tried.pick === 0 } },
        taken:
          bench &&
          model.phase !== 'none' &&
          model.phase !== 'voided' &&
          tried.pick === 0 &&
          tried.second !== who &&
          isLead(tried.second),
        effect: phase('voided'),
      };
    case 'amend':
      return {
        command: { kind: 'amend', jobId, of: tried.pick, reason: 'Mistyped.', text: 'Read 41, not 14.' },
        changes: base,
        taken: bench && model.phase !== 'none' && tried.pick < model.events,
        effect: () => {},
      };
  }
}

/** The right command for a step, with an outcome; `taken` holds only what is special to that kind of step. */
function workOn(step: Step, tried: Attempt, model: Model, jobId: string, who: Name): Trial {
  const passed = tried.outcome === 'pass';
  const to = { jobId, stepId: step.stepId };
  const done = (isPass: boolean) => () => record(model, step, who, isPass);
  switch (step.kind) {
    case 'caution':
      return { command: { kind: 'acknowledgeCaution', ...to }, changes: {}, taken: true, effect: done(true) };
    case 'instruction':
      return { command: { kind: 'confirmInstruction', ...to }, changes: {}, taken: true, effect: done(true) };
    case 'check':
      return {
        command: { kind: 'answerCheck', ...to, answer: passed ? 'yes' : 'no' },
        changes: {},
        taken: true,
        effect: done(passed),
      };
    case 'disposition': {
      const reason = tried.outcome === 'fail' ? {} : { reason: 'A tooth is chipped.' };
      return {
        command: { kind: 'disposePart', ...to, choice: passed ? 'reuse' : 'replace', ...reason },
        changes: {},
        taken: tried.outcome !== 'fail',
        effect: done(true),
      };
    }
    case 'consumable': {
      const expired = tried.outcome === 'fail';
      return {
        command: { kind: 'useConsumable', ...to, lotId: lot.lotId },
        changes: { lot: expired ? { ...lot, expiry: '2026-11-24' } : lot },
        taken: !expired,
        effect: done(true),
      };
    }
    case 'note':
      return {
        command: { kind: 'writeNote', ...to, text: 'Fine.' },
        changes: {},
        taken: true,
        effect: done(true),
      };
    case 'numeric':
      return {
        command: { kind: 'recordNumeric', ...to, text: passed ? '41.5' : '60' },
        changes: {},
        taken: true,
        effect: done(passed),
      };
    case 'signOff':
      return {
        command: { kind: 'signOffStep', ...to },
        changes: {},
        taken: tried.pin && (isLead(who) || step.roles.includes('technician')),
        effect: done(true),
      };
    case 'mass':
    case 'torque': {
      const mine = progress(model, step.stepId);
      const values =
        step.kind === 'mass'
          ? { pass: 18, 'conditional pass': 18.58, fail: 20 }
          : { pass: 27, 'conditional pass': 29.15, fail: 31 };
      const taken = step.kind === 'mass' && step.tare === 'station' ? tare : null;
      const accepted =
        passed || (tried.outcome === 'conditional pass' && step.acceptConditionalPass === true);
      return {
        command: { kind: step.kind === 'mass' ? 'captureMass' : 'captureTorque', ...to },
        changes: { capture: makeCapture(step, values[tried.outcome], mine.tries + 1, taken) },
        taken: taken === null || mine.tared,
        effect: done(accepted),
      };
    }
  }
}
