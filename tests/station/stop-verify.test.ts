import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { generateJobs } from '../../electron/station/audit/generate.ts';
import type { VerifyProgress } from '../../shared/contract.ts';
import { TestBench, type TestScreen } from './test-station.ts';

const bench = new TestBench();
beforeAll(async () => {
  generateJobs({ folder: bench.folder, clock: createSystemClock(), count: 600, first: 1 });
  await bench.open();
});
afterAll(() => bench.end());

const patience = { timeout: 20_000 };

function newest({ news }: TestScreen): VerifyProgress | undefined {
  const told = news.flatMap((one) => (one.news === 'verify' ? [one.progress] : []));
  return told.at(-1);
}

describe('a check of the evidence that a screen asked for', () => {
  it('stops when the person who started it says so, tells how far it was, and can begin anew', async () => {
    const screen = bench.screen('flint');
    await bench.mustCall(screen, 'verify', {});
    await expect.poll(() => newest(screen)?.done ?? 0, patience).toBeGreaterThan(0);
    expect(await bench.codeOf(bench.screen('cedar'), 'stopVerify', {})).toBe('no_verify');
    await bench.mustCall(screen, 'stopVerify', {});
    await expect.poll(() => newest(screen)?.stopped, patience).toBe(true);
    const last = newest(screen);
    expect(last).toMatchObject({ finished: false, intact: null });
    expect(last?.done).toBeLessThan(last?.total ?? 0);

    await expect.poll(() => bench.codeOf(screen, 'verify', {}), patience).toBe('taken');
    await expect.poll(() => newest(screen)?.finished, patience).toBe(true);
    expect(newest(screen)).toMatchObject({ intact: true, stopped: false });
  });

  it('is found again by a page that was loaded anew', async () => {
    const before = bench.screen('flint');
    await bench.mustCall(before, 'verify', {});
    const after = bench.screen('flint');
    await bench.mustCall(after, 'verify', {});
    expect(await bench.codeOf(bench.screen('cedar'), 'verify', {})).toBe('verify_running');
    await expect.poll(() => newest(after)?.finished, patience).toBe(true);
    expect(newest(before)?.finished).toBe(true);
  });
});
