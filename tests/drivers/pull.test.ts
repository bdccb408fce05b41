import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createDecoder } from '../../drivers/decode.ts';
import { findFinalPull } from '../../drivers/final-pull.ts';
import { pullRuleSchema } from '../../drivers/profile/settings.ts';
import { findBuiltInProfile } from '../../drivers/profiles/index.ts';
import { createPullTracker, type Pull, type PullEvent } from '../../drivers/pull.ts';
import type { Indication } from '../../shared/indication.ts';
import { corpora } from './decode/corpora.ts';

const range = { 'N.m': [-350, 350] as [number, number] };
const stream = (rule: object = {}) =>
  createPullTracker({ range, pull: pullRuleSchema.parse({ start: { 'N.m': 2 }, ...rule }) });

function indication(
  value: number,
  state: Indication['state'] = 'track',
  more: Partial<Indication> = {},
): Indication {
  return { offset: 0, text: value.toFixed(1), value, unit: 'N.m', state, ...more };
}

/** Feeds torques at a steady pace, from a time on. */
function pullThrough(
  tracker: ReturnType<typeof createPullTracker>,
  torques: readonly number[],
  { from = 0, every = 50 } = {},
): PullEvent[] {
  return torques.flatMap((torque, index) => tracker.push(indication(torque), from + index * every));
}

function pullsOf(events: readonly PullEvent[]): Pull[] {
  return events.flatMap((event) => (event.kind === 'started' ? [] : [event.pull]));
}

const rise = [0, 1, 3, 12, 25, 31.4, 30];
const release = [8, 3, 1, 0, 0, 0, 0];

describe('a pull in a stream of torques', () => {
  test('begins at the threshold, ends when the hand lets go, and its peak is the greatest torque', () => {
    const events = pullThrough(stream(), [...rise, ...release]);
    expect(events.map(({ kind }) => kind)).toEqual(['started', 'completed']);
    expect(pullsOf(events)).toMatchObject([
      {
        peak: { text: '31.4' },
        incomplete: null,
        startedAtMilliseconds: 100,
        endedAtMilliseconds: 350,
        hits: 1,
        isDoubleHit: false,
      },
    ]);
  });

  test('a short dip belongs to the pull; the rises are counted', () => {
    const events = pullThrough(stream(), [...rise, 8, 3, 20, 28, ...release]);
    expect(pullsOf(events)).toMatchObject([{ peak: { text: '31.4' }, hits: 2 }]);
  });

  test('pulling again after letting go is a second pull', () => {
    const events = pullThrough(stream(), [
      ...rise,
      ...release,
      ...Array<number>(12).fill(0),
      ...rise,
      ...release,
    ]);
    expect(pullsOf(events)).toMatchObject([{ isDoubleHit: false }, { isDoubleHit: false }]);
  });

  test('a second hit soon after the first is kept and marked', () => {
    const events = pullThrough(stream(), [...rise, ...release, 5, 20, 33, ...release]);
    expect(pullsOf(events)).toMatchObject([
      { peak: { text: '31.4' }, isDoubleHit: false },
      { peak: { text: '33.0' }, isDoubleHit: true },
    ]);
  });

  test('or is merged with it to the greater peak, if the rule says so', () => {
    const quiet = Array<number>(12).fill(0);
    const events = pullThrough(stream({ double_hit: 'merge' }), [
      ...rise,
      ...release,
      5,
      20,
      33,
      ...release,
      ...quiet,
    ]);
    expect(pullsOf(events)).toMatchObject([{ peak: { text: '33.0' }, hits: 2 }]);
  });

  test('counter-clockwise counts by its size and keeps its sign', () => {
    const events = pullThrough(
      stream(),
      [...rise, ...release].map((torque) => -torque),
    );
    expect(pullsOf(events)).toMatchObject([{ peak: { text: '-31.4', value: -31.4 } }]);
  });

  test('a running median leaves a single wild reading out', () => {
    const wild = [0, 5, 15, 25, 120, 26, 27, ...release, 0, 0];
    expect(pullsOf(pullThrough(stream(), wild))).toMatchObject([{ peak: { text: '120.0' } }]);
    expect(pullsOf(pullThrough(stream({ median_of: 3 }), wild))).toMatchObject([{ peak: { text: '27.0' } }]);
  });

  test('a gap in the stream leaves the peak unknown', () => {
    const tracker = stream();
    pullThrough(tracker, rise);
    expect(tracker.current?.greatest.text).toBe('31.4');
    expect(tracker.tick(700)).toEqual([]);
    expect(tracker.tick(900)).toMatchObject([
      {
        kind: 'incomplete',
        pull: { peak: null, incomplete: 'stream interrupted', greatest: { text: '31.4' } },
      },
    ]);
    expect(tracker.current).toBeNull();
  });

  test('a lost port does too', () => {
    const tracker = stream();
    pullThrough(tracker, rise);
    expect(tracker.interrupt(400)).toMatchObject([{ kind: 'incomplete', pull: { peak: null } }]);
    expect(tracker.interrupt(500)).toEqual([]);
  });

  test('so does a change of the unit', () => {
    const tracker = stream({ start: { 'N.m': 2, 'lbf.ft': 2 } });
    pullThrough(tracker, rise);
    expect(tracker.push(indication(22, 'track', { unit: 'lbf.ft' }), 400)).toMatchObject([
      { kind: 'incomplete', pull: { incomplete: 'unit changed' } },
      { kind: 'started' },
    ]);
  });

  test('masses and stored readings are never pulls', () => {
    const tracker = stream();
    for (const state of ['stored', 'stable', 'unstable'] as const)
      expect(tracker.push(indication(50, state), 0)).toEqual([]);
  });

  test('whatever the torques: every pull has its greatest torque as peak, and none overlaps another', () => {
    const torques = fc.array(fc.oneof(fc.double({ min: -40, max: 40, noNaN: true }), fc.constant(0)), {
      maxLength: 120,
    });
    fc.assert(
      fc.property(torques, fc.constantFrom('keep', 'merge'), (values, doubleHit) => {
        const shown = values.map((value) => Number(value.toFixed(1)));
        const pulls = pullsOf(pullThrough(stream({ double_hit: doubleHit }), shown));
        let end = Number.NEGATIVE_INFINITY;
        for (const pull of pulls) {
          expect(pull.startedAtMilliseconds).toBeGreaterThanOrEqual(end);
          end = pull.endedAtMilliseconds;
          const during = shown.slice(pull.startedAtMilliseconds / 50, end / 50 + 1);
          const direction = Math.sign(during[0] ?? 0);
          expect(pull.peak?.value).toBe(direction * Math.max(...during.map((value) => value * direction)));
        }
      }),
      { numRuns: 500 },
    );
  });
});

describe('peak lines', () => {
  test('close the pull: the instrument’s own peak counts, the stream’s is kept beside it', () => {
    const tracker = stream();
    pullThrough(tracker, rise);
    const line = indication(31.9, 'peak', { columns: { angle: '42' } });
    expect(pullsOf(tracker.push(line, 400))).toMatchObject([
      { peak: { text: '31.9' }, greatest: { text: '31.4' }, angle: 42 },
    ]);
  });

  test('without a stream are pulls by themselves; a peak of zero is none', () => {
    const tracker = stream();
    expect(tracker.push(indication(0, 'peak'), 0)).toEqual([]);
    expect(tracker.push(indication(-0.4, 'peak', { columns: { angle: '-12' } }), 10)).toMatchObject([
      { kind: 'completed', pull: { peak: { value: -0.4 }, greatest: null, angle: -12 } },
    ]);
  });

  test('in the recorded stream of track and final lines: each final line gives its pull, a pull without one gives none', () => {
    const { profile, bytes } = corpora[10]!;
    const tracker = createPullTracker(profile);
    let at = 0;
    const events: PullEvent[] = [];
    for (const line of bytes.toString('latin1').split(/(?<=\n)/)) {
      at += 100;
      // The last final line is lost.
      if (line.startsWith('F:30.2')) continue;
      for (const outcome of createDecoder(profile, { synchronised: true }).push(
        Buffer.from(line, 'latin1'),
      )) {
        if (outcome.kind === 'indication') events.push(...tracker.push(outcome.indication, at));
      }
    }
    events.push(...tracker.tick(at + 10_000));
    expect(events.filter(({ kind }) => kind === 'completed').length).toBeGreaterThan(0);
    expect(pullsOf(events).at(-1)).toMatchObject({ peak: null, incomplete: 'no final line' });
  });

  test('a pull that begins before the final line of the last one leaves that one incomplete', () => {
    const profile = findBuiltInProfile('wrench-live-then-final')!;
    const tracker = createPullTracker(profile);
    const events = pullThrough(tracker, [...rise, ...release, ...rise]);
    expect(events.map(({ kind }) => kind)).toEqual(['started', 'incomplete', 'started']);
    expect(pullsOf(events)).toMatchObject([{ incomplete: 'no final line', greatest: { text: '31.4' } }]);
  });
});

describe('which pull counts', () => {
  const pulls = [20, null, -33, 25, null].map((peak) => ({
    peak: peak === null ? null : indication(peak, 'peak'),
  }));
  test.each([
    ['last_complete', '25.0'],
    ['first_complete', '20.0'],
    ['greatest_complete', '-33.0'],
  ] as const)('%s', (rule, text) => {
    expect(findFinalPull(pulls, rule)?.peak?.text).toBe(text);
    expect(findFinalPull([{ peak: null }], rule)).toBeUndefined();
  });
});
