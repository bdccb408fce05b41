import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Fault } from '../../../drivers/simulated/fault-script.ts';
import { TestBench } from '../test-station.ts';

let bench: TestBench;
beforeEach(async () => {
  bench = await new TestBench().open();
});
afterEach(() => bench.end());

const view = () => bench.station.bench.views().find(({ instrumentId }) => instrumentId === 'scale-1');

function begin(fault: Fault): void {
  const simulator = bench.station.bench.running('scale-1')?.simulator;
  if (simulator?.kind !== 'scale') throw new Error('the scale is not simulated');
  simulator.scale.beginFault(fault);
}

async function until(silent: boolean): Promise<void> {
  await expect
    .poll(() => view()?.silent === silent && (silent || (view()?.linesPerSecond ?? 0) > 0), {
      timeout: 10_000,
    })
    .toBe(true);
}

it('a scale that weighs in another unit is silent because of the unit', async () => {
  await until(false);
  begin({ kind: 'wrong unit', atMilliseconds: 0, forMilliseconds: 60_000, unitText: 'pcs' });
  await until(true);
  expect(view()?.lastRejection).toBe('unit_not_allowed');
});

it('a scale that was disturbed, spoke well again and is switched off is silent for no reason of its lines', async () => {
  await until(false);
  begin({ kind: 'noise', atMilliseconds: 0, bytes: 200 });
  await expect.poll(() => view()?.rejections.too_long ?? 0, { timeout: 10_000 }).toBeGreaterThan(0);
  const running = bench.station.bench.running('scale-1');
  const disturbedAt = running?.live.health().lastRejection?.arrivedAtMilliseconds ?? 0;
  await expect
    .poll(() => running?.live.health().lastIndicationAt?.arrivedAtMilliseconds, { timeout: 10_000 })
    .toBeGreaterThan(disturbedAt);
  begin({ kind: 'silence', atMilliseconds: 0, forMilliseconds: 60_000 });
  await until(true);
  expect(view()?.lastRejection).toBeNull();
});
