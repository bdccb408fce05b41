import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeDebianPackage } from '../../electron/launch/package-debian.ts';
import { runProgram } from '../../electron/launch/run-program.ts';

/** Fields and paths as Debian Policy 4.7 has them (chapters 5.3, 5.6, 10.9, 12.5), read back by dpkg-deb itself. */
const projectFolder = resolve(import.meta.dirname, '../..');
let folder: string;
let file: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'bandwright-debian-'));
  const unpacked = join(folder, 'unpacked');
  mkdirSync(join(unpacked, 'resources'), { recursive: true });
  writeFileSync(join(unpacked, 'bandwright'), '', { mode: 0o755 });
  writeFileSync(join(unpacked, 'chrome-sandbox'), '', { mode: 0o755 });
  writeFileSync(join(unpacked, 'resources', 'app.asar'), 'archive');
  file = await makeDebianPackage(unpacked, folder, projectFolder);
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function askPackage(...words: string[]): Promise<string> {
  const { output, errors, code } = await runProgram('dpkg-deb', words);
  expect(errors, errors).toBe('');
  expect(code).toBe(0);
  return output;
}

test('names what it needs from the system, each under the names of old and new releases', async () => {
  const depends = await askPackage('--field', file, 'Depends');
  expect(depends).toContain('libgtk-3-0t64 | libgtk-3-0');
  expect(depends).toContain('libnss3');
  expect(await askPackage('--field', file, 'Package')).toBe('bandwright\n');
  expect(await askPackage('--field', file, 'Version')).toMatch(/^\d+\.\d+\.\d+\n$/);
});

test('puts the program, its command, its entry in the menu and its licence where they belong', async () => {
  const lines = (await askPackage('--contents', file)).split('\n');
  const entry = (path: string) => lines.find((line) => line.includes(` .${path}`));
  expect(entry('/opt/bandwright/bandwright')).toMatch(/^-rwxr-xr-x root\/root/);
  expect(entry('/opt/bandwright/resources/app.asar')).toBeDefined();
  expect(entry('/usr/bin/bandwright')).toMatch(/-> \/opt\/bandwright\/bandwright$/);
  expect(entry('/usr/share/applications/bandwright.desktop')).toMatch(/^-rw-r--r-- root\/root/);
  expect(entry('/usr/share/doc/bandwright/copyright')).toBeDefined();
});

test('gives the sandbox helper of Chromium its right, and nothing else', async () => {
  const lines = (await askPackage('--contents', file)).split('\n').filter((line) => line !== '');
  const privileged = lines.filter((line) => /^.{3}[sS]/.test(line));
  expect(privileged).toHaveLength(1);
  expect(privileged[0]).toMatch(/^-rwsr-xr-x root\/root .* \.\/opt\/bandwright\/chrome-sandbox$/);
});
