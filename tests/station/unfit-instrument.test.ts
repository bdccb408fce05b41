import { afterEach, beforeEach, expect, it } from 'vitest';
import type { JobCommand } from '../../shared/job/command.ts';
import type { MassStep } from '../../shared/sheet/step.ts';
import { makeSheet, makeStep } from '../shared/job/workbench.ts';
import { demoPins, TestBench, type TestScreen } from './test-station.ts';

const day = 86_400_000;
const sheet = {
  ...makeSheet([
    { ...(makeStep.mass('fill', 'none') as MassStep), maximumAttempts: 9 },
    makeStep.signOff('sign'),
  ]),
  sheetId: 'sheet-weigh',
  head: { headId: 'head-weigh', name: { en: 'Weighed head', de: 'Gewogener Kopf' } },
};

let bench: TestBench;
let amber: TestScreen;
let jobId: string;
beforeEach(async () => {
  bench = await new TestBench().open();
  await approveSheet();
  amber = bench.screen('amber');
  for (const instrumentId of ['scale-1', 'scale-2']) {
    await bench.mustCall(amber, 'simulate', { instrumentId, action: 'dish on' });
  }
  ({ jobId } = await bench.mustCall(amber, 'command', {
    command: { kind: 'openJob', serial: 'WGH-1', headId: 'head-weigh' },
  }));
});
afterEach(() => bench.end());

async function approveSheet(): Promise<void> {
  const to = { sheetId: sheet.sheetId, revision: 1 };
  const cedar = bench.screen('cedar');
  await bench.mustCall(cedar, 'manage', { command: { kind: 'draftSheet', sheet } });
  await bench.mustCall(cedar, 'manage', { command: { kind: 'submitSheet', ...to } });
  const command = { kind: 'approveSheet', ...to } as const;
  await bench.mustCall(cedar, 'manage', { command, personId: 'dune', pin: demoPins.dune });
}

/** Weighs the dish on the simulated scale as soon as it lies there; answers with the refusal or `taken`. */
async function weigh(): Promise<string> {
  const shown = () => bench.station.bench.running(bench.station.bench.assigned.scale ?? '')?.live.latest();
  await expect
    .poll(() => shown()?.settled === true && shown()?.indication.value, { timeout: 10_000 })
    .toBeGreaterThan(1);
  const command: JobCommand = { kind: 'captureMass', jobId, stepId: 'fill' };
  let code = 'instrument_silent';
  await expect
    .poll(
      async () => {
        code = await bench.codeOf(amber, 'command', { command });
        return code;
      },
      { timeout: 10_000 },
    )
    .not.toMatch(/^(instrument_silent|not_stable|instrument_disconnected)$/);
  return code;
}

/** Days later the screen is locked: the technician signs in again. */
function comeBackAfter(days: number): void {
  bench.clock.moveOn(days * day);
  bench.station.signIn(amber.session, 'amber');
}

function captures() {
  const stored = bench.station.store.readStream(`job/${jobId}`);
  return stored.filter(({ kind }) => kind === 'measurementCaptured').map(({ body }) => JSON.stringify(body));
}

it('a scale whose certificate has run out weighs nothing until another lead concedes it, and no longer than that', async () => {
  expect(await weigh()).toBe('taken');
  expect(captures()[0]).toContain('"concession":null');

  comeBackAfter(800);
  expect(await weigh()).toBe('instrument_out_of_date');
  expect(bench.station.snapshot(amber.session).jobInHand?.measurement?.blocked?.code).toBe(
    'instrument_out_of_date',
  );
  expect(captures()).toHaveLength(1);

  const until = new Date(Date.parse(bench.clock.wallTime()) + 7 * day).toISOString();
  const command = {
    kind: 'concedeInstrument',
    instrumentId: 'scale-1',
    reason: 'Bench in the post.',
    until,
  } as const;
  // The technician asks; the lead who made the last check may not, the other one may.
  expect(await bench.codeOf(amber, 'manage', { command })).toBe('not_allowed');
  expect(await bench.codeOf(amber, 'manage', { command, personId: 'cedar', pin: demoPins.cedar })).toBe(
    'own_concession',
  );
  expect(await bench.codeOf(amber, 'manage', { command, personId: 'dune', pin: demoPins.dune })).toBe(
    'taken',
  );
  expect(await weigh()).toBe('taken');
  expect(captures()[1]).toContain('"concession":"Bench in the post."');

  // It survives a restart of the station, and ends when it said.
  await bench.restart();
  amber = bench.screen('amber');
  await bench.mustCall(amber, 'simulate', { instrumentId: 'scale-1', action: 'dish on' });
  expect(await weigh()).toBe('taken');
  comeBackAfter(8);
  expect(await weigh()).toBe('instrument_out_of_date');
  expect(captures()).toHaveLength(3);
});

it('a scale that failed its check weighs nothing; a check that passes lets it weigh again', async () => {
  const reference = { name: 'Check weight 200 g', value: 200, unit: 'g' } as const;
  const check = (value: number) =>
    bench.codeOf(amber, 'manage', {
      command: {
        kind: 'recordInstrumentCheck',
        instrumentId: 'scale-1',
        reference,
        indication: { value, unit: 'g' },
      },
    });
  expect(await check(200.07)).toBe('taken');
  expect(await weigh()).toBe('instrument_check_failed');
  expect(await check(200.02)).toBe('taken');
  expect(await weigh()).toBe('taken');
});

it('a retired scale is not weighed with; another one takes its place in the middle of the job', async () => {
  const cedar = bench.screen('cedar');
  const retire = { kind: 'retireInstrument', instrumentId: 'scale-1', reason: 'Dropped.' } as const;
  await bench.mustCall(cedar, 'manage', { command: retire });
  expect(
    await bench.codeOf(amber, 'command', { command: { kind: 'captureMass', jobId, stepId: 'fill' } }),
  ).toBe('instrument_missing');
  const entry = bench.station.bench.registry.get('scale-2');
  expect(entry?.kind).toBe('scale');
  expect(await bench.codeOf(amber, 'assignInstrument', { instrumentId: 'scale-1' })).toBe(
    'instrument_retired',
  );
  await bench.mustCall(amber, 'assignInstrument', { instrumentId: 'scale-2' });
  expect(await weigh()).toBe('taken');
  expect(captures()[0]).toContain('"instrumentId":"scale-2"');
});
