import { describe, expect, it } from 'vitest';
import { LiveReadings } from '../../../renderer/state/live-readings.ts';
import type { LiveReading } from '../../../shared/contract.ts';
import { massReading, torqueReading } from '../situations.ts';

function bench() {
  const frames: (() => void)[] = [];
  let now = 0;
  const live = new LiveReadings(
    (callback) => frames.push(callback),
    () => now,
  );
  return {
    live,
    passFrame: () => {
      for (const callback of frames.splice(0)) callback();
    },
    wait: (milliseconds: number) => {
      now += milliseconds;
    },
  };
}

function massAt(milliseconds: number, net: number): LiveReading {
  return { ...massReading(net, true, 'pass'), atMilliseconds: milliseconds };
}

describe('live readings', () => {
  it('reach the screen once a frame, however many lines come in', () => {
    const { live, passFrame } = bench();
    let told = 0;
    live.subscribe('scale-1', () => {
      told += 1;
    });
    for (let line = 0; line < 50; line += 1) live.receive(massAt(line * 20, line));
    passFrame();
    passFrame();
    expect(told).toBe(1);
    expect(live.latest('scale-1')?.reading.measured?.value).toBe(49);
  });

  it('know how old the newest of them is', () => {
    const { live, wait } = bench();
    expect(live.age('scale-1')).toBeNull();
    live.receive(massAt(0, 1));
    wait(700);
    expect(live.age('scale-1')).toBe(700);
  });

  it('forget the course of more than a minute ago: the page does not grow in a long shift', () => {
    const { live } = bench();
    for (let line = 0; line < 20_000; line += 1) live.receive(massAt(line * 20, 5));
    const { seconds, values } = live.course('scale-1');
    expect(values).toHaveLength(seconds.length);
    expect(seconds.length).toBeLessThan(3300);
    expect((seconds.at(-1) ?? 0) - (seconds[0] ?? 0)).toBeGreaterThanOrEqual(60);
  });

  it('begin a new course with each pull', () => {
    const { live } = bench();
    live.receive(torqueReading(5, 'pulling', null));
    live.receive(torqueReading(6, 'pulling', null));
    const next = torqueReading(1, 'pulling', null);
    live.receive({ ...next, pull: { ...next.pull!, number: 2 } });
    expect(live.course('wrench-1').values).toEqual([1]);
  });

  it('let a pull of an earlier attempt count no more, and keep what the wrench showed', () => {
    const { live } = bench();
    live.receive(torqueReading(9, 'complete', 'fail'));
    live.forgetJudged();
    const reading = live.latest('wrench-1')?.reading;
    expect(reading).toMatchObject({ measured: null, judgement: null, pull: null });
    expect(reading?.indication.unit).toBe('lbf.ft');
  });
});
