import { describe, expect, it } from 'vitest';
import { guidanceOf } from '../../../renderer/state/guidance.ts';
import { createScreenStore } from '../../../renderer/state/screen-store.ts';
import { situationOf } from '../../../renderer/state/situation.ts';
import { troubleOf } from '../../../renderer/state/trouble.ts';
import type { Snapshot } from '../../../shared/contract.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { jobAt, scale, withJob } from '../situations.ts';

const screen = createScreenStore().getState();
const outOfDate = { usable: false, code: 'instrument_out_of_date', message: 'out of date' } as const;

function connected(snapshot: Snapshot) {
  return { connection: 'connected', snapshot, verify: null, exported: null, impact: null } as const;
}

/** The bench at the fill, with a scale whose calibration has run out. */
function atFill(more: readonly JobEvent[]) {
  const instruments = [{ ...scale, fitness: outOfDate }];
  return situationOf(connected({ ...withJob(jobAt('fill', more)), instruments }), screen);
}

const abandoned: JobEvent = {
  kind: 'jobAbandoned',
  jobId: 'job-1',
  at: '2026-11-25T09:10:00.000+01:00',
  personId: 'amber',
  reason: 'Wrong head',
};

describe('a job at its end', () => {
  it('stands at no step of its list, though steps are left open', () => {
    const atParts = (more: readonly JobEvent[], chosenStepId: string | null) =>
      situationOf(connected(withJob(jobAt('gear-set', more))), { ...screen, chosenStepId }).step?.stepId;
    expect(atParts([], null)).toBe('gear-set');
    expect(atParts([abandoned], null)).toBeUndefined();
    expect(atParts([], 'o-ring')).toBe('o-ring');
    expect(atParts([abandoned], 'o-ring')).toBeUndefined();
  });
});

describe('trouble with the instrument', () => {
  it('is said while the step measures', () => {
    expect(troubleOf(atFill([]))?.kind).toBe('unfit');
  });

  it('is not said of a job that is at its end', () => {
    const situation = atFill([abandoned]);
    expect(situation.phase).toBe('closed');
    expect(troubleOf(situation)).toBeNull();
    expect(guidanceOf(situation, 'waiting', 'inside')).toBe('next.closed');
  });

  it('is no piece of a line at the beginning of a connection', () => {
    const situation = atFill([]);
    const silent = { ...scale, silent: true, lastRejection: 'first_partial' } as const;
    expect(troubleOf({ ...situation, instrument: silent })).toEqual({ kind: 'silent', rejection: null });
  });
});
