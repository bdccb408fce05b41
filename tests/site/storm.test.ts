import { expect, it } from 'vitest';
import { runStorm } from './storm.ts';

// `node tests/site/storm.ts MINUTES` is the same for longer.
it('brings every acknowledged event of eight stations to the site exactly once, whatever is cut, restarted or killed', async () => {
  const report = await runStorm({ seconds: 12, stations: 8, pace: 100, seed: 7, say: () => undefined });
  expect(report).toMatchObject({ missing: 0, repeated: 0, refused: 0, short: 0, problems: [] });
  expect(Math.min(report.cuts, report.kills, report.restarts)).toBeGreaterThan(0);
  expect(report.acknowledged).toBeGreaterThan(100);
}, 300_000);
