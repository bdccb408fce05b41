import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const projectFolder = resolve(import.meta.dirname, '../..');
const copy = mkdtempSync(join(tmpdir(), 'bandwright-lint-'));

beforeAll(() => {
  copyFileSync(join(projectFolder, 'biome.json'), join(copy, 'biome.json'));
  copyFileSync(join(projectFolder, 'no-clock-no-chance.grit'), join(copy, 'no-clock-no-chance.grit'));
  copyFileSync(join(projectFolder, '.gitignore'), join(copy, '.gitignore'));
  symlinkSync(join(projectFolder, 'node_modules'), join(copy, 'node_modules'));
  // Biome keeps to what git would see.
  spawnSync('git', ['init', '-q'], { cwd: copy });
});
afterAll(() => rmSync(copy, { recursive: true }));

/** Plants one file in the copy, lints it with the real rules, and takes it away again. */
function lint(path: string, code: string): { readonly exitCode: number | null; readonly words: string } {
  const file = join(copy, path);
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, code);
  const linted = spawnSync(
    process.execPath,
    [join(projectFolder, 'node_modules', '@biomejs', 'biome', 'bin', 'biome'), 'check', path],
    { cwd: copy, encoding: 'utf8' },
  );
  rmSync(file);
  return { exitCode: linted.status, words: `${linted.stdout}${linted.stderr}` };
}

const importOf = (from: string) => `import { thing } from '${from}';\n\nexport const used = thing;\n`;

describe('dependencies point one way: shared <- drivers <- electron/station <- electron; renderer sees shared', () => {
  test.each([
    ['shared/planted.ts', '../drivers/lines.ts', 'shared/ sees only shared/.'],
    ['shared/deep/planted.ts', '../../electron/station/jobs.ts', 'shared/ sees only shared/.'],
    ['shared/planted.ts', '../renderer/parts/gauge.ts', 'shared/ sees only shared/.'],
    ['shared/planted.ts', 'node:fs', 'shared/ is pure'],
    ['shared/planted.ts', 'better-sqlite3', 'shared/ is pure'],
    ['drivers/planted.ts', '../electron/station/jobs.ts', 'drivers/ sees only shared/ and drivers/.'],
    ['drivers/port/planted.ts', '../../renderer/main.ts', 'drivers/ sees only shared/ and drivers/.'],
    ['drivers/planted.ts', 'electron', 'drivers/ sees only shared/ and drivers/.'],
    ['electron/station/planted.ts', 'electron', 'electron/station/ is a plain Node program'],
    ['electron/station/planted.ts', '../window.ts', 'electron/station/ is a plain Node program'],
    [
      'electron/station/store/planted.ts',
      '../../launch/build.ts',
      'electron/station/ is a plain Node program',
    ],
    ['electron/station/planted.ts', '../../renderer/main.ts', 'electron/station/ is a plain Node program'],
    ['renderer/planted.ts', '../electron/main.ts', 'renderer/ sees only shared/.'],
    ['renderer/parts/planted.tsx', '../../drivers/decode.ts', 'renderer/ sees only shared/.'],
    ['renderer/planted.ts', 'node:path', 'renderer/ sees only shared/.'],
    ['renderer/planted.ts', 'electron', 'renderer/ sees only shared/.'],
  ])('%s may not import %s', (path, from, message) => {
    const { exitCode, words } = lint(path, importOf(from));
    expect(words).toContain('noRestrictedImports');
    expect(words).toContain(message);
    expect(exitCode).toBe(1);
  });

  test.each([
    ['shared/planted.ts', './result.ts'],
    ['drivers/planted.ts', '../shared/result.ts'],
    ['drivers/planted.ts', 'serialport'],
    ['electron/station/planted.ts', '../../drivers/lines.ts'],
    ['electron/station/planted.ts', 'better-sqlite3'],
    ['electron/planted.ts', './station/data-folder.ts'],
    ['electron/planted.ts', 'electron'],
    ['renderer/planted.ts', '../shared/result.ts'],
    ['renderer/planted.tsx', 'react'],
  ])('%s may import %s', (path, from) => {
    expect(lint(path, importOf(from))).toMatchObject({ exitCode: 0 });
  });
});

describe('shared/ is pure: no clock, no chance, no Node, no screen', () => {
  test.each([
    ['Date.now()', 'the clock and chance come in as arguments'],
    ['new Date()', 'the clock and chance come in as arguments'],
    ['Math.random()', 'the clock and chance come in as arguments'],
    ['performance.now()', 'no clock'],
    ['process.env', 'no Node'],
    ["Buffer.from('a')", 'use Uint8Array'],
    ["document.querySelector('a')", 'no DOM'],
    ["fetch('http://127.0.0.1')", 'no I/O'],
    ['crypto.randomUUID()', 'hashes come in as functions'],
  ])('%s is caught', (expression, message) => {
    const { exitCode, words } = lint('shared/planted.ts', `export const planted = ${expression};\n`);
    expect(words).toContain(message);
    expect(exitCode).toBe(1);
  });

  test('reading a date that is handed in is no offence', () => {
    const code =
      'export function yearOf(text: string): number {\n  return new Date(text).getUTCFullYear();\n}\n';
    expect(lint('shared/planted.ts', code)).toMatchObject({ exitCode: 0 });
  });

  test('the clock may be read outside shared/', () => {
    expect(lint('electron/station/planted.ts', 'export const startedAt = Date.now();\n')).toMatchObject({
      exitCode: 0,
    });
  });
});

test('a skipped or a lonely test is caught', () => {
  const code = (kind: string) =>
    `import { expect, test } from 'vitest';\n\ntest.${kind}('a band', () => {\n  expect(1).toBe(1);\n});\n`;
  expect(lint('tests/planted.test.ts', code('skip')).words).toContain('noSkippedTests');
  expect(lint('tests/planted.test.ts', code('only')).words).toContain('noFocusedTests');
});
