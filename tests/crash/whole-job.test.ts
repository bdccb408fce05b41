import { describe, expect, it } from 'vitest';
import { killWholeJobs } from './whole-job.ts';

/** The long run: `node tests/crash/whole-job.ts --rounds 200`. */
const kills = 8;

describe('a station that is killed in the middle of whole jobs', () => {
  it(`resumes each job at its step, loses nothing told and doubles nothing, ${kills} times on the same data`, {
    timeout: 300_000,
  }, async () => {
    const report = await killWholeJobs({ kills, seed: 7, speed: 6, verifyEvery: 4 });
    expect(report.wrong).toEqual([]);
    expect(report.verifiedIntact).toBe(2);
    expect(report.commandsAcknowledged).toBeGreaterThan(kills);
    expect(report.jobsReleased).toBeGreaterThan(0);
    // Most kills hit a job in the middle.
    expect(Object.values(report.hitAtStep).reduce((sum, hits) => sum + hits, 0)).toBeGreaterThan(kills / 2);
  });
});
