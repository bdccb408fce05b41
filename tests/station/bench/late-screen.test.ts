import { afterEach, beforeEach, expect, it } from 'vitest';
import type { LiveReading, News } from '../../../shared/contract.ts';
import { makeSheet, makeStep } from '../../shared/job/workbench.ts';
import { demoPins, TestBench, type TestScreen } from '../test-station.ts';

const sheet = {
  ...makeSheet([makeStep.torque('tighten'), makeStep.signOff('sign')]),
  sheetId: 'sheet-tighten',
  head: { headId: 'head-tighten', name: { en: 'Tightened head', de: 'Angezogener Kopf' } },
};
const wrench = 'wrench-1';

let bench: TestBench;
let amber: TestScreen;
let jobId: string;
beforeEach(async () => {
  bench = await new TestBench().open();
  const to = { sheetId: sheet.sheetId, revision: 1 };
  const cedar = bench.screen('cedar');
  await bench.mustCall(cedar, 'manage', { command: { kind: 'draftSheet', sheet } });
  await bench.mustCall(cedar, 'manage', { command: { kind: 'submitSheet', ...to } });
  const command = { kind: 'approveSheet', ...to } as const;
  await bench.mustCall(cedar, 'manage', { command, personId: 'dune', pin: demoPins.dune });
  amber = bench.screen('amber');
  bench.station.welcome(amber);
  await bench.mustCall(amber, 'assignInstrument', { instrumentId: wrench });
  ({ jobId } = await bench.mustCall(amber, 'command', {
    command: { kind: 'openJob', serial: 'TGT-1', headId: 'head-tighten' },
  }));
});
afterEach(() => bench.end());

/** What the wrench last said, as a screen was told it; null when it was told nothing. */
function lastOf(news: readonly News[]): LiveReading | null {
  const readings = news.flatMap((one) => (one.news === 'live' ? [one.live] : []));
  return readings.findLast(({ instrumentId }) => instrumentId === wrench) ?? null;
}

async function pull(): Promise<void> {
  await bench.mustCall(amber, 'simulate', { instrumentId: wrench, action: 'pull' });
  await expect.poll(() => lastOf(amber.news)?.pull?.phase, { timeout: 10_000 }).toBe('complete');
}

it('a page that is opened anew between a pull and its capture shows the pull, judged as before', async () => {
  await pull();
  const news: News[] = [];
  bench.station.welcome({ session: amber.session, push: (one) => news.push(one) });
  expect(news[0]?.news).toBe('snapshot');
  expect(lastOf(news)).toEqual(lastOf(amber.news));
  expect(lastOf(news)?.judgement?.decision).toBe('pass');
});

it('a job that is put aside and taken up again still shows the pull that was not captured', async () => {
  await pull();
  await bench.mustCall(amber, 'takeInHand', { jobId: null });
  amber.news.length = 0;
  await bench.mustCall(amber, 'takeInHand', { jobId });
  // Behind the job that it belongs to; what another instrument says may come before.
  const behindSnapshot = () => {
    const place = amber.news.findIndex(({ news }) => news === 'snapshot');
    return place < 0 ? [] : amber.news.slice(place);
  };
  await expect.poll(() => lastOf(behindSnapshot())?.pull?.phase).toBe('complete');
});

it('a wrench that was unplugged after its pull shows a new page nothing', async () => {
  await pull();
  await bench.mustCall(amber, 'simulate', { instrumentId: wrench, action: 'unplug' });
  const port = () => bench.station.bench.views().find(({ instrumentId }) => instrumentId === wrench)?.port;
  await expect.poll(() => port()?.state, { timeout: 10_000 }).not.toBe('open');
  const news: News[] = [];
  bench.station.welcome({ session: amber.session, push: (one) => news.push(one) });
  expect(lastOf(news)).toBeNull();
});
