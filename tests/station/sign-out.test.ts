import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoPins, TestBench } from './test-station.ts';

const bench = new TestBench();
beforeAll(() => bench.open());
afterAll(() => bench.end());

describe('signing out with a job in hand', () => {
  it('puts the job aside on this screen, and leaves it open for whoever holds it', async () => {
    const screen = bench.screen('amber');
    const { jobId } = await bench.mustCall(screen, 'command', {
      command: { kind: 'openJob', serial: 'SLT-1001', headId: 'head-slate', sheetId: 'sheet-slate' },
    });
    expect(bench.station.snapshot(screen.session).jobInHand?.state.jobId).toBe(jobId);
    await bench.mustCall(screen, 'signOut', {});
    await bench.mustCall(screen, 'signIn', { personId: 'birch', pin: demoPins.birch });
    const snapshot = bench.station.snapshot(screen.session);
    expect(snapshot.jobInHand).toBeNull();
    expect(snapshot.openJobs.map((job) => job.jobId)).toContain(jobId);
  });

  it('keeps it in hand where the screen was only locked', async () => {
    const screen = bench.screen('amber');
    const { jobId } = await bench.mustCall(screen, 'command', {
      command: { kind: 'openJob', serial: 'SLT-1002', headId: 'head-slate', sheetId: 'sheet-slate' },
    });
    bench.clock.moveOn(21 * 60_000);
    bench.station.touch(screen.session);
    expect(screen.session.personId).toBeNull();
    await bench.mustCall(screen, 'signIn', { personId: 'amber', pin: demoPins.amber });
    expect(bench.station.snapshot(screen.session).jobInHand?.state.jobId).toBe(jobId);
  });
});
