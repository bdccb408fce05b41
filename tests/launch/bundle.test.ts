import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { build } from 'vite';
import { afterAll, expect, test } from 'vitest';
import { nodeProgram } from '../../vite.config.ts';

const run = promisify(execFile);
const folder = mkdtempSync(join(tmpdir(), 'bandwright-bundle-'));
afterAll(() => rmSync(folder, { recursive: true }));

test('a program, its worker and the files beside it run from one folder, without the sources', async () => {
  const source = join(folder, 'source');
  mkdirSync(join(source, 'audit'), { recursive: true });
  writeFileSync(
    join(source, 'main.ts'),
    `import { runWorker } from './audit/run.ts';
     import band from './band.json' with { type: 'json' };
     const answer: string = await runWorker();
     process.stdout.write(\`\${answer} \${band.unit}\`);`,
  );
  writeFileSync(
    join(source, 'audit', 'run.ts'),
    `import { readFileSync } from 'node:fs';
     import { Worker } from 'node:worker_threads';
     /** Not code: new URL('./nowhere.ts', import.meta.url) */
     // nor this: new URL('./nowhere-else.ts', import.meta.url)
     export function runWorker(): Promise<string> {
       const schema = readFileSync(new URL('./schema.sql', import.meta.url), 'utf8').trim();
       const worker = new Worker(new URL('./check-worker.ts', import.meta.url), { workerData: schema });
       return new Promise((resolve, reject) => worker.on('message', resolve).on('error', reject));
     }`,
  );
  writeFileSync(
    join(source, 'audit', 'check-worker.ts'),
    `import { parentPort, workerData } from 'node:worker_threads';
     import { shout } from '../shout.ts';
     parentPort?.postMessage(shout(workerData as string));`,
  );
  writeFileSync(
    join(source, 'shout.ts'),
    'export const shout = (text: string): string => text.toUpperCase();',
  );
  writeFileSync(join(source, 'audit', 'schema.sql'), 'create table\n');
  writeFileSync(join(source, 'band.json'), '{"unit":"N.m"}');

  const out = join(folder, 'out');
  const config = nodeProgram('program', join(source, 'main.ts'), [/^node:/], out);
  await build({ ...config, logLevel: 'error' });
  rmSync(source, { recursive: true });
  const { stdout } = await run(process.execPath, [join(out, 'program.mjs')]);
  expect(stdout).toBe('CREATE TABLE N.m');
});

test('a package that stays outside is imported by its name', async () => {
  const entry = join(folder, 'outside.ts');
  writeFileSync(
    entry,
    "import Database from 'better-sqlite3';\nimport { z } from 'zod';\nconsole.log(Database, z);",
  );
  const out = join(folder, 'outside');
  const config = nodeProgram('outside', entry, ['better-sqlite3', 'zod'], out);
  await build({ ...config, logLevel: 'error' });
  const code = readFileSync(join(out, 'outside.mjs'), 'utf8');
  expect(code).toMatch(/from "better-sqlite3"/);
  expect(code.length).toBeLessThan(500);
});
