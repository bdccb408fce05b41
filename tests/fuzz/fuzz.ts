// `npm run fuzz -- --minutes N`: tries hostile inputs wherever something from outside comes in.
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { buildOut } from '../../electron/launch/build.ts';
import { fuzz, type SurfaceResult, tableOf } from './surface.ts';
import { surfaces } from './surfaces.ts';

const { values } = parseArgs({
  options: {
    minutes: { type: 'string', default: '2' },
    seed: { type: 'string' },
    only: { type: 'string' },
  },
});
const minutes = z.coerce.number().positive().max(10_000).parse(values.minutes);
const seed = z.coerce
  .number()
  .int()
  .parse(values.seed ?? Date.now() % 2 ** 31);
const chosen = surfaces.filter(({ name }) => values.only === undefined || name.includes(values.only));
const milliseconds = (minutes * 60_000) / chosen.length;

// Some surfaces serve the real page; a fresh checkout has none.
await buildOut((line) => process.stderr.write(`${line}\n`), ['renderer']);
const results: SurfaceResult[] = [];
for (const surface of chosen) {
  const result = await fuzz(surface, { milliseconds, seed });
  results.push(result);
  process.stderr.write(`${result.finding === null ? '✓' : '✗'} ${result.name}: ${result.inputs} inputs\n`);
  if (result.finding !== null) process.stderr.write(`${result.finding}\n`);
}
const findings = results.filter(({ finding }) => finding !== null).length;
const inputs = results.reduce((sum, result) => sum + result.inputs, 0);
process.stdout.write(`${tableOf(results)}\n${inputs} inputs, ${findings} findings (seed ${seed})\n`);
process.exitCode = findings === 0 ? 0 : 1;
