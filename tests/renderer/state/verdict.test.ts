import { describe, expect, it } from 'vitest';
import { guidanceOf } from '../../../renderer/state/guidance.ts';
import { createScreenStore } from '../../../renderer/state/screen-store.ts';
import { situationOf } from '../../../renderer/state/situation.ts';
import { isStale, staleWord, troubleOf } from '../../../renderer/state/trouble.ts';
import { distanceFromZone, verdictOf } from '../../../renderer/state/verdict.ts';
import type { InstrumentView, Snapshot } from '../../../shared/contract.ts';
import { atStart, jobAt, massReading, scale, tareTaken, torqueReading, withJob } from '../situations.ts';

const fill = jobAt('fill', [tareTaken]);
const tighten = jobAt('tighten');
const mass = { quantity: 'mass', tare: null, band: { lower: 9.1, upper: 9.9, unit: 'g' } } as const;
const torque = { quantity: 'torque', tare: null, band: { lower: 11.04, upper: 12.96, unit: 'N.m' } } as const;

function at(snapshot: Snapshot) {
  return situationOf(
    { connection: 'connected', snapshot, verify: null, exported: null, impact: null },
    createScreenStore().getState(),
  );
}

function withScale(change: Partial<InstrumentView>): Snapshot {
  return { ...withJob(fill), instruments: [{ ...scale, ...change }] };
}

describe('the verdict on the live value', () => {
  it('is green only when the mass lies in the acceptance zone and has settled', () => {
    expect(verdictOf(massReading(9.5, true, 'pass'), mass, false)).toBe('pass');
    expect(verdictOf(massReading(9.5, false, 'pass'), mass, false)).toBe('unsettled');
  });

  it('calls a fill that is not finished short, not failed', () => {
    expect(verdictOf(massReading(3.1, true, 'fail'), mass, false)).toBe('short');
    expect(verdictOf(massReading(10.8, true, 'fail'), mass, false)).toBe('fail');
  });

  it('says that the dish is not there, instead of how much is to go', () => {
    const tared = { ...mass, tare: { text: '52.31', unit: 'g' } } as const;
    expect(verdictOf(massReading(-52.31, true, 'fail'), tared, false)).toBe('absent');
    expect(verdictOf(massReading(0, true, 'fail'), tared, false)).toBe('short');
    // A little less than nothing is outside what is calibrated: there is no measured value.
    const drifted = { ...massReading(-52.32, true, 'fail'), measured: null, judgement: null };
    expect(verdictOf(drifted, tared, false)).toBe('absent');
    expect(verdictOf(massReading(9.5, true, 'pass'), tared, false)).toBe('pass');
  });

  it('calls a weak pull failed, because it is over', () => {
    expect(verdictOf(torqueReading(9.6, 'complete', 'fail'), torque, false)).toBe('fail');
  });

  it('judges no pull before the wrench has let go', () => {
    expect(verdictOf(torqueReading(12, 'pulling', null), torque, false)).toBe('pulling');
    expect(verdictOf(torqueReading(0, 'none', null), torque, false)).toBe('waiting');
  });

  it('says nothing of a value that is no longer current', () => {
    expect(verdictOf(massReading(9.5, true, 'pass'), mass, true)).toBe('stale');
    expect(verdictOf(null, mass, false)).toBe('waiting');
  });

  it('tells how far the value is from the zone, and on which side', () => {
    const zone = { lower: 9.16, upper: 9.84 };
    expect(distanceFromZone(9, zone)).toBeCloseTo(-0.16, 9);
    expect(distanceFromZone(10, zone)).toBeCloseTo(0.16, 9);
    expect(distanceFromZone(9.5, zone)).toBe(0);
    expect(distanceFromZone(9.5, null)).toBeNull();
  });
});

describe('trouble with the instrument', () => {
  it('is none at an ordinary weighing', () => {
    expect(troubleOf(at(withJob(fill)))).toBeNull();
    expect(isStale(at(withJob(fill)), 200)).toBe(false);
  });

  it.each(['lost', 'missing', 'busy', 'denied', 'closed', 'opening'] as const)(
    'strikes the last value out when the port is %s',
    (state) => {
      const moment = at(withScale({ port: { path: '', state, message: '' } }));
      expect(troubleOf(moment)).toEqual({ kind: 'port', state });
      expect(isStale(moment, 0)).toBe(true);
    },
  );

  it('names the reason for which the last line was not believed when the instrument is silent', () => {
    const moment = at(withScale({ silent: true, lastRejection: 'overload' }));
    expect(troubleOf(moment)).toEqual({ kind: 'silent', rejection: 'overload' });
  });

  it('strikes a mass out after a second and a half without a line, but not a pull', () => {
    expect(isStale(at(withJob(fill)), 1600)).toBe(true);
    expect(isStale(at(withJob(tighten)), 60_000)).toBe(false);
  });

  it('tells an instrument that is missing from one that must not be used', () => {
    expect(troubleOf(at({ ...withJob(fill), instruments: [] }))?.kind).toBe('no instrument');
    const unfit = { usable: false, code: 'out_of_date', message: '' };
    expect(troubleOf(at(withScale({ fitness: unfit })))).toMatchObject({
      kind: 'unfit',
      code: 'out_of_date',
    });
  });
});

describe('the word for a value that is not current', () => {
  it('is no signal from a cable or a scale that says nothing, and no value from one that reports overload', () => {
    expect(staleWord(at(withScale({ port: { ...scale.port, state: 'lost' } })))).toBe('verdict.stale');
    expect(staleWord(at(withScale({ silent: true, lastRejection: null })))).toBe('verdict.stale');
    expect(staleWord(at(withScale({ silent: true, lastRejection: 'overload' })))).toBe('verdict.noValue');
  });
});

describe('the next action in words', () => {
  it('goes from the empty dish over the fill to the capture', () => {
    expect(guidanceOf(at(withJob(jobAt('fill'))), 'waiting', 'inside')).toBe('next.tare');
    expect(guidanceOf(at(withJob(fill)), 'short', 'inside')).toBe('next.massShort');
    expect(guidanceOf(at(withJob(fill)), 'fail', 'above')).toBe('next.massHigh');
    expect(guidanceOf(at(withJob(fill)), 'pass', 'inside')).toBe('next.massPass');
  });

  it('lets a hand go on filling while the scale moves, and asks for rest only near the zone', () => {
    expect(guidanceOf(at(withJob(fill)), 'unsettled', 'below')).toBe('next.massShort');
    expect(guidanceOf(at(withJob(fill)), 'unsettled', 'inside')).toBe('next.massUnsettled');
  });

  it('says what is awaited when no job is in hand', () => {
    expect(guidanceOf(at(atStart), 'waiting', 'inside')).toBe('next.serial');
  });
});
