import { afterEach, describe, expect, test } from 'vitest';
import type { LiveEvent } from '../../drivers/live-event.ts';
import { createLiveInstrument, type LiveInstrument } from '../../drivers/live-instrument.ts';
import { type Clock, createSystemClock } from '../../drivers/port/clock.ts';
import { createInProcessLine } from '../../drivers/port/in-process-port.ts';
import type { Fault } from '../../drivers/simulated/fault-script.ts';
import type { SimulatedInstrument } from '../../drivers/simulated/simulated-instrument.ts';
import { type SimulatedScaleOptions, startSimulatedScale } from '../../drivers/simulated/simulated-scale.ts';
import {
  type SimulatedWrenchOptions,
  startSimulatedWrench,
} from '../../drivers/simulated/simulated-wrench.ts';
import { profileNamed } from './profile-named.ts';
import { pause, until } from './waiting.ts';

const clock = createSystemClock();
/** Scales settle and hands pull four times as fast as in life. */
const hurried: Clock = { ...clock, nowMilliseconds: () => 4 * clock.nowMilliseconds() };
const usualSettings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 } as const;
const running: { live: LiveInstrument; simulated: SimulatedInstrument }[] = [];

afterEach(async () => {
  for (const { live, simulated } of running.splice(0)) {
    await live.stop();
    simulated.stop();
  }
});

async function listen(simulated: SimulatedInstrument, profileName: string) {
  const profile = profileNamed(profileName);
  const port = simulated.createPort(profile.serial ?? usualSettings);
  const live = createLiveInstrument({ port, profile, clock });
  const events: LiveEvent[] = [];
  live.onEvent((event) => events.push(event));
  running.push({ live, simulated });
  live.start();
  await until('the port', () => port.state.kind === 'open');
  const indications = () =>
    events.flatMap((event) => (event.kind === 'indication' ? [event.indication] : []));
  return { live, indications, rejections: () => live.health().rejections };
}
async function startScale(options: Partial<SimulatedScaleOptions> = {}) {
  const scale = startSimulatedScale({
    profileName: 'scale-comma-header',
    clock: hurried,
    seed: 1,
    ...options,
  });
  return { scale, ...(await listen(scale, scale.profileName)) };
}
async function startWrench(options: Partial<SimulatedWrenchOptions> = {}) {
  const wrench = startSimulatedWrench({
    profileName: 'wrench-comma-line',
    clock: hurried,
    seed: 1,
    ...options,
  });
  return { wrench, ...(await listen(wrench, wrench.profileName)) };
}

describe('a simulated scale heard over a real serial port', () => {
  test.each(['scale-comma-header', 'scale-request-letter'] as const)(
    'shows dish, tare and a fill to its target as %s, and nothing is refused',
    async (profileName) => {
      const { scale, live, rejections } = await startScale({ profileName });
      scale.act({ kind: 'dish on' });
      await until(
        'the dish',
        () => live.latest()?.settled === true && live.latest()?.indication.text === '41.87',
      );
      scale.act({ kind: 'tare' });
      await until('the tare', () => live.latest()?.indication.value === 0 && live.latest()?.settled === true);
      scale.act({ kind: 'squeeze', massGrams: 2 });
      scale.act({ kind: 'dispense to', massGrams: 4 });
      await until('the fill', () => !scale.state().dispensing && live.latest()?.settled === true);
      expect(Math.abs((live.latest()?.indication.value ?? 0) - 4)).toBeLessThanOrEqual(0.03);
      const { first_partial: _, ...others } = rejections();
      expect(others).toEqual({});
    },
  );

  test('says overload, and that is no value', async () => {
    const { scale, indications, rejections } = await startScale();
    scale.act({ kind: 'put on', massGrams: 5000 });
    await until('overload', () => (rejections().overload ?? 0) > 3);
    expect(Math.max(...indications().map(({ value }) => value))).toBeLessThanOrEqual(3200.09);
  });

  test('can speak inside the process, where a platform has no pseudo-terminals', async () => {
    const { scale, live } = await startScale({ line: createInProcessLine('scale in process') });
    scale.act({ kind: 'put on', massGrams: 12 });
    await until('twelve grams', () => live.latest()?.indication.text === '12.00');
    scale.unplug();
    await until('the loss', () => live.health().condition === 'disconnected');
    scale.replug();
    await until('twelve grams again', () => live.latest()?.indication.text === '12.00');
  });

  test('can show another unit', async () => {
    const { scale, live } = await startScale({ unit: 'kg' });
    scale.act({ kind: 'put on', massGrams: 250 });
    await until(
      'a quarter of a kilogram',
      () => live.latest()?.settled === true && live.latest()?.indication.value !== 0,
    );
    expect(live.latest()?.indication).toMatchObject({
      unit: 'kg',
      value: expect.closeTo(0.25, 3),
      text: expect.stringMatching(/^0\.\d{5}$/),
    });
  });
});

describe('a simulated wrench heard over a real serial port', () => {
  test('gives live values and one peak for each pull', async () => {
    const { wrench, indications, rejections } = await startWrench({ profileName: 'wrench-live-then-final' });
    await wrench.pull({ peakNewtonMetres: 27.04 });
    await until('the peak', () => indications().some(({ state }) => state === 'peak'));
    const peaks = indications().filter(({ state }) => state === 'peak');
    expect(peaks.map(({ text }) => text)).toEqual(['27.0']);
    expect(indications().filter(({ state }) => state === 'track').length).toBeGreaterThan(5);
    expect(Math.max(...indications().map(({ value }) => value))).toBe(27);
    expect(Object.keys(rejections()).filter((reason) => reason !== 'not_a_reading')).toEqual([]);
  });

  test('gives one line with index, unit, angle and stamp for each pull', async () => {
    const { wrench, indications } = await startWrench({ unit: 'lbf.ft' });
    await wrench.pull({ peakNewtonMetres: 27.0 });
    await wrench.pull({ peakNewtonMetres: -13.5 });
    await until('two peaks', () => indications().length === 2);
    // 27 N·m / 1.3558179483 = 19.914 lbf·ft (NIST SP 811, Appendix B.8).
    expect(indications()).toMatchObject([
      { text: '19.9', unit: 'lbf.ft', state: 'peak', seq: 1 },
      { text: '-10.0', unit: 'lbf.ft', state: 'peak', seq: 2 },
    ]);
  });

  test('streams without end in track mode', async () => {
    const { wrench, indications } = await startWrench({ profileName: 'wrench-track-stream' });
    await wrench.pull({ peakNewtonMetres: 27.0 });
    await until('the highest value', () => indications().some(({ text }) => text === '27.0'));
    await until('rest', () => indications().at(-1)?.value === 0);
    expect(new Set(indications().map(({ state }) => state))).toEqual(new Set(['track']));
  });
});

describe('what goes wrong in a simulation', () => {
  const within = async (faults: Fault[], milliseconds: number) => {
    const started = await startScale({ faults, linesPerSecond: 40, clock });
    started.scale.act({ kind: 'put on', massGrams: 100 });
    await pause(milliseconds);
    return started;
  };
  /** Whatever happens, each accepted value lies on the way from nothing to 100 g. */
  const expectOnlyTrueValues = (values: readonly { value: number; unit: string }[]) => {
    for (const { value, unit } of values) {
      expect(unit).toBe('g');
      expect(value).toBeGreaterThan(-0.05);
      expect(value).toBeLessThan(100.05);
    }
  };

  test('noise between lines is refused and invents nothing', async () => {
    const faults = [200, 300, 400, 500, 600].map((atMilliseconds) => ({
      kind: 'noise' as const,
      atMilliseconds,
      bytes: 7,
    }));
    const { indications, rejections } = await within(faults, 1000);
    expect(rejections().noise ?? 0).toBeGreaterThan(0);
    expectOnlyTrueValues(indications());
  });

  test('lost bytes never join two lines into one value', async () => {
    const faults = [200, 300, 400, 500, 600, 700].map((atMilliseconds, n) => ({
      kind: 'lost bytes' as const,
      atMilliseconds,
      bytes: 9 + 3 * n,
    }));
    const { indications, rejections } = await within(faults, 1100);
    expect(rejections().no_match ?? 0).toBeGreaterThan(0);
    expectOnlyTrueValues(indications());
  });

  test('another unit is refused, not converted or believed', async () => {
    const { indications, rejections } = await within(
      [{ kind: 'wrong unit', atMilliseconds: 200, forMilliseconds: 500, unitText: 'tl' }],
      1000,
    );
    expect(rejections().unit_not_allowed ?? 0).toBeGreaterThan(10);
    expectOnlyTrueValues(indications());
  });

  test('a pulled cable is put back by the script', async () => {
    const { live } = await within([{ kind: 'unplug', atMilliseconds: 200, forMilliseconds: 300 }], 350);
    expect(live.port.state.kind).toBe('lost');
    await until('the port', () => live.health().condition === 'live');
  });

  test('silence, flood and an endless line are survived', async () => {
    const { live, rejections } = await within(
      [
        { kind: 'silence', atMilliseconds: 100, forMilliseconds: 200 },
        { kind: 'flood', atMilliseconds: 400, forMilliseconds: 200, bytesPerSecond: 500_000 },
        { kind: 'endless line', atMilliseconds: 800, bytes: 200_000, bytesPerSecond: 1_000_000 },
      ],
      1100,
    );
    await until(
      'the good lines after it',
      () => live.latest() !== undefined && (rejections().too_long ?? 0) === 1,
    );
    expect(rejections().no_match ?? 0).toBeGreaterThan(1000);
  });

  test('peaks sent again, at once or after a reconnection, are no new pulls', async () => {
    const { wrench, indications, rejections, live } = await startWrench();
    await wrench.pull({ peakNewtonMetres: 20 });
    await wrench.pull({ peakNewtonMetres: 21 });
    wrench.beginFault({ kind: 'stale peaks', atMilliseconds: 0, count: 2 });
    await until('two refusals', () => (rejections().stale_replay ?? 0) + (rejections().duplicate ?? 0) === 2);
    wrench.beginFault({ kind: 'repeated peak', atMilliseconds: 0 });
    wrench.unplug();
    await until('the loss', () => live.port.state.kind === 'lost');
    wrench.replug();
    await until(
      'a third refusal',
      () => (rejections().stale_replay ?? 0) + (rejections().duplicate ?? 0) === 3,
    );
    expect(indications().map(({ seq }) => seq)).toEqual([1, 2]);
  });
});
