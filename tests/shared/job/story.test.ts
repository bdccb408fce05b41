import { describe, expect, it } from 'vitest';
import { loadDemoWorkshop } from '../../../seeds/index.ts';
import type { JobCommand } from '../../../shared/job/command.ts';
import type { JobContext } from '../../../shared/job/context.ts';
import { decide } from '../../../shared/job/decide.ts';
import { Bench } from './test-bench.ts';
import { hash, lot, makeContext, makeSheet, makeStep, people, tare } from './workbench.ts';

const to = { jobId: 'job-1' };
const bench = () =>
  new Bench(
    makeSheet([
      makeStep.caution('safe'),
      makeStep.mass('fill'),
      makeStep.torque('tighten'),
      makeStep.check('spin'),
      makeStep.signOff('sign'),
    ]),
  );
const filled = () => {
  const job = bench().do({ kind: 'acknowledgeCaution', ...to, stepId: 'safe' });
  job.do({ kind: 'takeTare', ...to, stepId: 'fill' });
  expect(job.capture('fill', 18)).toBe('taken');
  return job;
};

describe('a clean job', () => {
  it('goes from opening to release, step by step, and names when the next service is due', () => {
    const job = filled();
    expect(job.state.currentStepId).toBe('tighten');
    job.capture('tighten', 27);
    job.do({ kind: 'answerCheck', ...to, stepId: 'spin', answer: 'yes' });
    expect(job.try({ kind: 'releaseJob', ...to })).toBe('steps_open');
    job.do({ kind: 'signOffStep', ...to, stepId: 'sign' });
    expect(job.state.currentStepId).toBeNull();
    expect(job.try({ kind: 'releaseJob', ...to }, { pinVerified: false })).toBe('pin_required');
    job.do({ kind: 'releaseJob', ...to });
    expect(job.state).toMatchObject({
      phase: 'released',
      nextServiceDue: '2027-11-25',
      holderPersonId: 'amber',
    });
    const last = job.events.at(-1);
    expect(last?.kind === 'jobReleased' && last.summary).toMatchObject({
      captures: 2,
      failedAttempts: 0,
      concessions: [],
    });
  });

  it('can be done on every seeded sheet, in the order of the list', () => {
    for (const sheet of loadDemoWorkshop().sheets) {
      const job = new Bench(sheet);
      for (const step of sheet.steps) {
        if (!step.mandatory) continue;
        expect(job.state.currentStepId).toBe(step.stepId);
        const { stepId } = step;
        switch (step.kind) {
          case 'caution':
            job.do({ kind: 'acknowledgeCaution', ...to, stepId });
            break;
          case 'instruction':
            job.do({ kind: 'confirmInstruction', ...to, stepId });
            break;
          case 'check':
            job.do({ kind: 'answerCheck', ...to, stepId, answer: 'yes' });
            break;
          case 'disposition':
            job.do({
              kind: 'disposePart',
              ...to,
              stepId,
              choice: 'replace',
              reason: 'Worn.',
              replacement: 'P-1',
            });
            break;
          case 'consumable':
            job.do(
              { kind: 'useConsumable', ...to, stepId, lotId: 'lot-1' },
              { lot: { ...lot, consumableId: step.consumableId } },
            );
            break;
          case 'mass':
            job.do({ kind: 'takeTare', ...to, stepId });
            expect(job.capture(stepId, step.band.target ?? 0)).toBe('taken');
            break;
          case 'torque':
            expect(job.capture(stepId, step.band.target ?? 0)).toBe('taken');
            break;
          case 'numeric':
            job.do({ kind: 'recordNumeric', ...to, stepId, text: '41.5' });
            break;
          case 'note':
            break;
          case 'signOff':
            job.do({ kind: 'signOffStep', ...to, stepId });
        }
      }
      job.do({ kind: 'releaseJob', ...to });
      expect(job.state.phase).toBe('released');
    }
  });
});

describe('when it goes wrong', () => {
  it('an overfill is kept, some grease is taken out, and the same tare serves for weighing again', () => {
    const job = bench().do({ kind: 'acknowledgeCaution', ...to, stepId: 'safe' });
    job.do({ kind: 'takeTare', ...to, stepId: 'fill' });
    expect(job.capture('fill', 19.4)).toBe('taken');
    expect(job.step('fill')).toMatchObject({ status: 'failed', lastDecision: 'fail', attemptsUsed: 1, tare });
    expect(job.capture('tighten', 27)).toBe('step_waiting');
    expect(job.capture('fill', 18.1)).toBe('taken');
    expect(
      job.step('fill').attempts.map((attempt) => [attempt.outcome, attempt.capture?.measured.value]),
    ).toEqual([
      ['fail', 19.4],
      ['pass', 18.1],
    ]);
    expect(job.step('fill').status).toBe('done');
  });

  it('failed pulls are limited by the sheet; then only another person who is a lead helps', () => {
    const job = filled();
    job.capture('tighten', 31);
    job.capture('tighten', 30);
    expect(job.capture('tighten', 27)).toBe('attempts_exhausted');
    const again: JobCommand = { kind: 'reopenStep', ...to, stepId: 'tighten', reason: 'Thread cleaned.' };
    expect(job.try(again)).toBe('lead_required');
    job.do(again, { person: people.cedar });
    expect(job.step('tighten')).toMatchObject({ status: 'ready', attemptsUsed: 0, reopenings: 1 });
    expect(job.capture('tighten', 27)).toBe('taken');
    expect(job.step('tighten').attempts).toHaveLength(3);
  });

  it('a lead who holds the job gets no exception from themself: neither concession nor new attempts', () => {
    const job = filled();
    job.do(
      { kind: 'handOverJob', ...to, toPersonId: 'dune' },
      { secondPerson: { ...people.dune, pinVerified: false } },
    );
    job.capture('tighten', 31, { person: people.dune });
    job.capture('tighten', 31, { person: people.dune });
    const concede: JobCommand = {
      kind: 'grantConcession',
      ...to,
      stepId: 'tighten',
      reason: 'Light duty.',
      limit: 'Until May.',
    };
    expect(job.try(concede, { person: people.dune })).toBe('own_concession');
    expect(
      job.try({ kind: 'reopenStep', ...to, stepId: 'tighten', reason: 'Again.' }, { person: people.dune }),
    ).toBe('lead_required');
    expect(job.try(concede, { person: people.cedar, pinVerified: false })).toBe('pin_required');
    job.do(concede, { person: people.cedar });
    // The failed judgement stays to be seen beside the concession.
    expect(job.step('tighten')).toMatchObject({
      status: 'conceded',
      lastDecision: 'fail',
      concession: { personId: 'cedar', reason: 'Light duty.', limit: 'Until May.' },
    });
  });

  it('a conditional pass takes a concession unless the sheet accepts it', () => {
    const job = filled();
    job.capture('tighten', 29.15);
    expect(job.step('tighten')).toMatchObject({ status: 'failed', lastDecision: 'conditional pass' });
    const lenient = new Bench(makeSheet([makeStep.torque('tighten', true)]));
    lenient.capture('tighten', 29.15);
    expect(lenient.step('tighten')).toMatchObject({ status: 'done', lastDecision: 'conditional pass' });
  });

  it('a wrong part found late sets its step and all after it back; what comes before stays done', () => {
    const job = filled();
    job.capture('tighten', 27);
    job.do({ kind: 'answerCheck', ...to, stepId: 'spin', answer: 'no', remark: 'It catches.' });
    job.do({ kind: 'reopenStep', ...to, stepId: 'fill', reason: 'Wrong bearing inside.' });
    expect(job.events.at(-1)).toMatchObject({ alsoReopened: ['tighten', 'spin'], attemptsRenewed: false });
    expect(job.state.steps.map((step) => step.status)).toEqual([
      'done',
      'ready',
      'waiting',
      'waiting',
      'waiting',
    ]);
    expect(job.step('fill').tare).toBeNull();
    expect(job.capture('fill', 18)).toBe('tare_missing');
  });

  it('a void takes two people, one of them a lead with the PIN, also after the release', () => {
    const job = filled();
    const command: JobCommand = { kind: 'voidJob', ...to, reason: 'Wrong serial.' };
    const second = (name: keyof typeof people, pinVerified = true) => ({
      secondPerson: { ...people[name], pinVerified },
    });
    expect(job.try(command)).toBe('second_person_missing');
    expect(job.try(command, { person: people.dune, ...second('dune') })).toBe('same_person');
    expect(job.try(command, second('birch'))).toBe('second_person_not_allowed');
    expect(job.try(command, second('cedar', false))).toBe('pin_required');
    job.do(command, second('cedar'));
    expect(job.state.phase).toBe('voided');
    expect(job.try({ kind: 'amend', ...to, of: 0, reason: 'Typo.', text: 'SN-2' })).toBe('taken');
    expect(job.try(command, second('cedar'))).toBe('job_voided');
  });
});

describe('a job in other hands', () => {
  it('rests on hold and goes on with the new holder alone', () => {
    const job = filled().do({ kind: 'holdJob', ...to, reason: 'Waiting for a part.' });
    expect(job.capture('tighten', 27)).toBe('job_held');
    job.do(
      { kind: 'handOverJob', ...to, toPersonId: 'birch' },
      { secondPerson: { ...people.birch, pinVerified: false } },
    );
    expect(job.try({ kind: 'resumeJob', ...to })).toBe('not_holder');
    job.do({ kind: 'resumeJob', ...to }, { person: people.birch });
    expect(job.capture('tighten', 27)).toBe('not_holder');
    expect(job.capture('tighten', 27, { person: people.birch })).toBe('taken');
  });

  it('goes to nobody who does not work at the bench', () => {
    const job = filled();
    const command = (toPersonId: string): JobCommand => ({ kind: 'handOverJob', ...to, toPersonId });
    expect(job.try(command('ember'), { secondPerson: { ...people.ember, pinVerified: false } })).toBe(
      'second_person_not_allowed',
    );
    expect(job.try(command('nobody'))).toBe('person_unknown');
    expect(job.try(command('amber'), { secondPerson: { ...people.amber, pinVerified: false } })).toBe(
      'same_person',
    );
  });

  it('refuses what a screen asks that has not seen the newest event, so nothing is done twice', () => {
    const job = bench();
    const command: JobCommand = { kind: 'acknowledgeCaution', ...to, stepId: 'safe', expectedVersion: 1 };
    expect(job.try(command)).toBe('taken');
    expect(job.try(command)).toBe('job_moved_on');
  });
});

describe('opening a job', () => {
  const sheet = makeSheet([makeStep.note('remarks')]);
  const open = (changes: Partial<JobContext>, more = {}) =>
    decide(
      undefined,
      { kind: 'openJob', serial: 'SN-1', headId: 'head-test', ...more },
      makeContext(sheet, changes),
    );

  it('pins the revision and its hash', () => {
    expect(open({})).toMatchObject({
      ok: true,
      value: [{ sheetId: 'sheet-test', sheetRevision: 1, sheetHash: hash }],
    });
  });
  it.each([
    ['no sheet in force', { sheet: undefined }, {}, 'sheet_missing'],
    ['a sheet that begins later', { at: '2025-01-05T23:59:59Z' }, {}, 'sheet_not_effective'],
    ['the same serial in work already', { openJobOfSerial: 'job-7' }, {}, 'serial_in_work'],
    ['another head than the sheet', {}, { headId: 'head-other' }, 'wrong_head'],
    ['another sheet than chosen', {}, { sheetId: 'sheet-other' }, 'wrong_sheet'],
  ])('refuses %s', (_name, changes, more, code) => {
    expect(open(changes, more)).toMatchObject({ ok: false, error: { code } });
  });
});

describe('steps by hand and eye', () => {
  it('keep the decimals of a typed number, and no more of them than the sheet wants', () => {
    const job = new Bench(makeSheet([makeStep.numeric('run-in')]));
    expect(job.try({ kind: 'recordNumeric', ...to, stepId: 'run-in', text: '41.55' })).toBe(
      'too_many_decimals',
    );
    job.do({ kind: 'recordNumeric', ...to, stepId: 'run-in', text: '55.0' });
    expect(job.step('run-in')).toMatchObject({
      status: 'done',
      attempts: [{ entry: '55.0 °C', outcome: 'pass' }],
    });
  });
  it('ask for a reason where the sheet wants one, and for a lot in date', () => {
    const job = new Bench(makeSheet([makeStep.disposition('gear'), makeStep.consumable('grease')]));
    expect(job.try({ kind: 'disposePart', ...to, stepId: 'gear', choice: 'replace' })).toBe('reason_missing');
    expect(job.try({ kind: 'disposePart', ...to, stepId: 'gear', choice: 'scrap', reason: 'Gone.' })).toBe(
      'not_a_choice',
    );
    job.do({ kind: 'disposePart', ...to, stepId: 'gear', choice: 'reuse' });
    const use = (lotId?: string): JobCommand => ({
      kind: 'useConsumable',
      ...to,
      stepId: 'grease',
      ...(lotId ? { lotId } : {}),
    });
    expect(job.try(use())).toBe('lot_missing');
    expect(job.try(use('lot-2'))).toBe('lot_unknown');
    expect(job.try(use('lot-1'), { lot: { ...lot, consumableId: 'other' } })).toBe('wrong_consumable');
    expect(job.try(use('lot-1'), { lot: { ...lot, expiry: '2026-11-24' } })).toBe('lot_expired');
    job.do(use('lot-1'), { lot: { ...lot, expiry: '2026-11-25' } });
    expect(job.events.at(-1)).toMatchObject({ lotId: 'lot-1', lotExpiry: '2026-11-25' });
  });
  it('take a signature from a role that the sheet names, with the PIN', () => {
    const job = new Bench(makeSheet([makeStep.signOff('sign', ['lead'])]));
    const sign: JobCommand = { kind: 'signOffStep', ...to, stepId: 'sign' };
    expect(job.try(sign)).toBe('not_allowed');
    expect(job.try(sign, { person: people.cedar, pinVerified: false })).toBe('pin_required');
    job.do(sign, { person: people.cedar });
    expect(job.step('sign').attempts[0]?.personId).toBe('cedar');
  });
  it('may be passed over when optional, but a failure noted there does not hold up the rest', () => {
    const job = new Bench(makeSheet([makeStep.check('scratches', 'note'), makeStep.instruction('clean')]));
    expect(job.step('clean').status).toBe('ready');
    job.do({ kind: 'answerCheck', ...to, stepId: 'scratches', answer: 'no' });
    expect(job.step('scratches').status).toBe('noted');
    expect(job.step('clean').status).toBe('ready');
  });
});
