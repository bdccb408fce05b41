import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  actOnScale,
  emptyScale,
  readScale,
  type ScaleState,
  stepScale,
  usualScale,
} from '../../../drivers/simulated/physics/scale-physics.ts';
import { createRandom, gaussian } from '../../../drivers/simulated/random.ts';
import type { ScaleAction } from '../../../drivers/simulated/scale-action.ts';

const quiet = { ...usualScale, noiseGrams: 0 };

/** Lets time pass in steps of 20 ms. */
function pass(state: ScaleState, seconds: number, settings = quiet, seed = 1): ScaleState {
  const random = createRandom(seed);
  let next = state;
  for (let step = 0; step < Math.round(seconds / 0.02); step += 1) {
    next = stepScale(next, 0.02, settings, random);
  }
  return next;
}
function act(state: ScaleState, action: ScaleAction, seed = 1): ScaleState {
  return actOnScale(state, action, quiet, createRandom(seed));
}

describe('a simulated scale', () => {
  test('settles like a first-order system: 63 % of the step after one time constant', () => {
    const loaded = act(emptyScale, { kind: 'put on', massGrams: 100 });
    const after = pass(loaded, quiet.timeConstantSeconds);
    expect(after.settledGrams).toBeCloseTo(100 * (1 - Math.exp(-1)), 6);
  });

  test('is unstable while it settles and stable afterwards, at the true mass', () => {
    const loaded = act(emptyScale, { kind: 'dish on', massGrams: 40 });
    expect(readScale(pass(loaded, 0.3), quiet).condition).toBe('unstable');
    expect(readScale(pass(loaded, 5), quiet)).toEqual({ netGrams: 40, mode: 'gross', condition: 'stable' });
  });

  test('shows the net mass after the tare key, once it is at rest', () => {
    let state = act(emptyScale, { kind: 'dish on', massGrams: 40 });
    state = pass(act(pass(state, 0.1), { kind: 'tare' }), 0.1);
    expect(readScale(state, quiet).mode).toBe('gross');
    state = pass(state, 5);
    expect(readScale(state, quiet)).toMatchObject({ netGrams: 0, mode: 'net', condition: 'stable' });
    state = pass(act(state, { kind: 'squeeze', massGrams: 1.5 }), 5);
    expect(readScale(state, quiet).netGrams).toBeCloseTo(1.5, 6);
  });

  test('a squeeze flows for some tenths of a second', () => {
    const squeezed = act(act(emptyScale, { kind: 'dish on' }), { kind: 'squeeze', massGrams: 1.2 });
    expect(pass(squeezed, 0.1).contentGrams).toBeCloseTo(0.4, 6);
    expect(pass(squeezed, 0.5).contentGrams).toBeCloseTo(1.2, 6);
  });

  test('a careful hand comes to the target and no further, whatever the chance', () => {
    fc.assert(
      fc.property(fc.integer(), fc.double({ min: 0.5, max: 60, noNaN: true }), (seed, target) => {
        const dish = act(emptyScale, { kind: 'dish on' });
        const end = pass(act(dish, { kind: 'dispense to', massGrams: target }), 25, quiet, seed);
        expect(end.dispensing).toBeNull();
        expect(end.contentGrams).toBeCloseTo(target, 5);
      }),
      { numRuns: 30 },
    );
  });

  test('too much can be dispensed, and taken out again', () => {
    const dish = act(emptyScale, { kind: 'dish on' });
    const full = pass(act(dish, { kind: 'dispense to', massGrams: 10, overshootGrams: 0.6 }), 20);
    expect(full.contentGrams).toBeCloseTo(10.6, 5);
    expect(act(full, { kind: 'remove some', massGrams: 0.5 }).contentGrams).toBeCloseTo(10.1, 5);
  });

  test('says overload above its capacity, and no value', () => {
    const heavy = pass(act(emptyScale, { kind: 'put on', massGrams: 4000 }), 5);
    expect(readScale(heavy, quiet).condition).toBe('overload');
    expect(readScale(pass(act(heavy, { kind: 'take off' }), 5), quiet).condition).toBe('stable');
  });

  test('its noise stays small enough for rest to be seen', () => {
    const state = act(emptyScale, { kind: 'dish on', massGrams: 40 });
    let stable = 0;
    for (let seed = 1; seed <= 50; seed += 1) {
      if (readScale(pass(state, 6, usualScale, seed), usualScale).condition === 'stable') stable += 1;
    }
    expect(stable).toBe(50);
  });

  test('the same seed gives the same course', () => {
    const course = (seed: number) => pass(act(emptyScale, { kind: 'squeeze' }, seed), 1, usualScale, seed);
    expect(course(7)).toEqual(course(7));
    expect(course(7).shownGrams).not.toBe(course(8).shownGrams);
  });
});

describe('the generator', () => {
  // Standard error of the mean of n values is 1/sqrt(n); of the variance sqrt(2/n). Five of each.
  test('gives normal values of mean 0 and variance 1', () => {
    const random = createRandom(42);
    const values = Array.from({ length: 20_000 }, () => gaussian(random));
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
    expect(Math.abs(mean)).toBeLessThan(5 / Math.sqrt(20_000));
    expect(Math.abs(variance - 1)).toBeLessThan(5 * Math.sqrt(2 / 20_000));
  });
});
