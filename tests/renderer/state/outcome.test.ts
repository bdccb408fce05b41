import { describe, expect, it } from 'vitest';
import { attemptInHand, newOutcome } from '../../../renderer/state/outcome.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { atStart, jobAt, tareTaken, withJob } from '../situations.ts';

const no: JobEvent = {
  kind: 'checkAnswered',
  jobId: 'job-1',
  at: '2026-11-25T10:00:00Z',
  personId: 'amber',
  stepId: 'intake',
  answer: 'no',
};

describe('what came of an attempt', () => {
  const before = withJob(jobAt('intake'));
  const after = withJob(jobAt('intake', [no]));

  it('is told once it is in the job', () => {
    expect(newOutcome(before, after)).toMatchObject({ passed: false, stepTitle: { en: 'Intake' } });
    expect(newOutcome(after, after)).toBeNull();
  });

  it('is not told of a job that has just been taken in hand', () => {
    expect(newOutcome(atStart, after)).toBeNull();
    expect(newOutcome(null, after)).toBeNull();
  });

  it('is another attempt after a tare and after an answer', () => {
    expect(attemptInHand(before)).not.toBe(attemptInHand(after));
    expect(attemptInHand(withJob(jobAt('fill')))).not.toBe(
      attemptInHand(withJob(jobAt('fill', [tareTaken]))),
    );
    expect(attemptInHand(before)).toBe(attemptInHand(withJob(jobAt('intake'))));
  });
});
