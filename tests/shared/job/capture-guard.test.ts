import { describe, expect, it } from 'vitest';
import type { JobCommand } from '../../../shared/job/command.ts';
import type { JobContext } from '../../../shared/job/context.ts';
import { decide } from '../../../shared/job/decide.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import { Bench } from './test-bench.ts';
import { fit, makeCapture, makeContext, makeSheet, makeStep, tare } from './workbench.ts';

const to = { jobId: 'job-1' };

describe('the last guard before a capture becomes evidence', () => {
  const step = makeStep.mass('fill', 'none');
  if (step.kind !== 'mass') throw new Error('a mass step');
  const sheet = makeSheet([step]);
  const good = makeCapture(step, 18, 1, null);
  const tried = (changes: Partial<JobContext>) =>
    new Bench(sheet).try({ kind: 'captureMass', ...to, stepId: 'fill' }, { capture: good, ...changes });

  it('takes the right one', () => {
    expect(tried({})).toBe('taken');
  });
  it.each([
    ['no capture at all', { capture: undefined }, 'capture_missing'],
    ['no instrument', { instrumentFitness: undefined }, 'instrument_missing'],
    [
      'an instrument out of date',
      { instrumentFitness: { ...fit, usable: false, code: 'out_of_date' as const } },
      'instrument_out_of_date',
    ],
    [
      'a failed daily check',
      { instrumentFitness: { ...fit, usable: false, code: 'check_failed' as const } },
      'instrument_check_failed',
    ],
    [
      'a concession that the capture does not name',
      { instrumentFitness: { ...fit, code: 'conceded' as const, concession: 'Only one left.' } },
      'concession_mismatch',
    ],
    [
      'an unstable weight',
      { capture: { ...good, indication: { ...good.indication, state: 'unstable' as const } } },
      'not_stable',
    ],
    [
      'another band than the sheet',
      { capture: { ...good, band: { ...good.band, upper: 30 } } },
      'band_mismatch',
    ],
    [
      'another rule than the sheet',
      { capture: { ...good, rule: { kind: 'simple' as const, source: 'none' } } },
      'rule_mismatch',
    ],
    [
      'a judgement of another value',
      { capture: { ...good, measured: { ...good.measured, value: 18.2 } } },
      'judgement_mismatch',
    ],
    [
      'a judgement by wider limits',
      { capture: { ...good, judgement: { ...good.judgement, tolerance: { lower: 0, upper: 99 } } } },
      'judgement_mismatch',
    ],
    [
      'another unit than the band',
      { capture: { ...good, measured: { ...good.measured, unit: 'kg' as const } } },
      'unit_mismatch',
    ],
    ['a torque', { capture: { ...good, quantity: 'torque' as const } }, 'wrong_quantity'],
    ['a wrong count of attempts', { capture: { ...good, attempt: 2 } }, 'attempt_mismatch'],
    ['a tare that nobody took', { capture: { ...good, tare } }, 'tare_mismatch'],
    ['another sheet than the pinned one', { sheet: { sheet, hash: '00'.repeat(32) } }, 'sheet_changed'],
    ['no sheet', { sheet: undefined }, 'sheet_missing'],
  ] satisfies [string, Partial<JobContext>, string][])('refuses %s', (_name, changes, code) => {
    expect(tried(changes)).toBe(code);
  });

  it('refuses another tare than the one taken', () => {
    const job = new Bench(makeSheet([makeStep.mass('fill')]));
    job.do({ kind: 'takeTare', ...to, stepId: 'fill' });
    const fill = makeStep.mass('fill');
    if (fill.kind !== 'mass') throw new Error('a mass step');
    const other = { ...tare, indication: { ...tare.indication, text: '11.00', value: 11 } };
    expect(
      job.try({ kind: 'captureMass', ...to, stepId: 'fill' }, { capture: makeCapture(fill, 18, 1, other) }),
    ).toBe('tare_mismatch');
  });

  it('lets no simulated reading into a job that is not simulated, and no invented sheet onto a real bench', () => {
    const real = { ...sheet, invented: false };
    const opened = decide(
      undefined,
      { kind: 'openJob', serial: 'SN-1', headId: 'head-test' },
      makeContext(real, { simulated: false }),
    );
    const state = opened.ok ? foldAll(opened.value) : undefined;
    const command: JobCommand = { kind: 'captureMass', ...to, stepId: 'fill' };
    expect(decide(state, command, makeContext(real, { capture: good }))).toMatchObject({
      error: { code: 'simulated_instrument' },
    });
    const wrong = decide(
      undefined,
      { kind: 'openJob', serial: 'SN-1', headId: 'head-test' },
      makeContext(sheet, { simulated: false }),
    );
    expect(wrong).toMatchObject({ error: { code: 'invented_sheet' } });
  });

  it('takes exactly one final pull of several', () => {
    const torque = makeStep.torque('tighten');
    if (torque.kind !== 'torque') throw new Error('a torque step');
    const base = makeCapture(torque, 27, 1, null);
    const pull = { peak: 27, unit: 'N.m' as const, final: true };
    const tryPulls = (pulls: (typeof pull)[]) =>
      new Bench(makeSheet([torque])).try(
        { kind: 'captureTorque', ...to, stepId: 'tighten' },
        { capture: { ...base, pulls } },
      );
    expect(tryPulls([{ ...pull, final: false }, pull])).toBe('taken');
    expect(tryPulls([pull, pull])).toBe('final_pull_missing');
    expect(tryPulls([])).toBe('final_pull_missing');
  });
});
