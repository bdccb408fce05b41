import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeDebianPackage } from '../../electron/launch/package-debian.ts';

// A small program in place of the packaged bench, installed by dpkg below a root of its own.
const around = mkdtempSync(join(tmpdir(), 'bandwright-debian-'));
const root = join(around, 'root');
let file: string;

function dpkg(...words: string[]): string {
  const here = [`--root=${root}`, '--force-not-root,bad-path,depends,script-chrootless'];
  return execFileSync('dpkg', [...here, ...words], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
}

beforeAll(async () => {
  const program = join(around, 'program');
  mkdirSync(program);
  for (const name of ['bandwright', 'chrome-sandbox', 'prepared-by-recipe'])
    writeFileSync(join(program, name), `#!/bin/sh\necho ${name}\n${' '.repeat(5000)}`, { mode: 0o755 });
  file = await makeDebianPackage(program, around, resolve(import.meta.dirname, '../..'));
  for (const name of ['info', 'updates', 'triggers'])
    mkdirSync(join(root, 'var', 'lib', 'dpkg', name), { recursive: true });
  writeFileSync(join(root, 'var', 'lib', 'dpkg', 'status'), '');
});
afterAll(() => rmSync(around, { recursive: true, force: true }));

test('the Debian package says what it is, what it needs and how much room it takes', () => {
  const control = execFileSync('dpkg-deb', ['--field', file], { encoding: 'utf8' });
  expect(control).toMatch(/^Package: bandwright$/m);
  expect(control).toMatch(/^Depends: libc6 \(>= 2\.28\), libusb-1\.0-0, libgtk-3-0/m);
  expect(Number(/^Installed-Size: (\d+)$/m.exec(control)?.[1])).toBeGreaterThan(10);
  for (const line of control.split('\n').filter((one) => one.startsWith(' ')))
    expect(line.length).toBeLessThan(80);
});

test('it is installed with its menu entry, icon, licence and changes, and verified', () => {
  dpkg('--install', file);
  for (const path of [
    'opt/bandwright/bandwright',
    'usr/share/icons/hicolor/scalable/apps/bandwright.svg',
    'usr/share/doc/bandwright/copyright',
    'usr/share/doc/bandwright/changelog.gz',
  ])
    expect(existsSync(join(root, path)), path).toBe(true);
  expect(existsSync(join(root, 'opt/bandwright/prepared-by-recipe'))).toBe(false);
  // The sandbox of Chromium belongs to root and runs as root.
  expect(statSync(join(root, 'opt/bandwright/chrome-sandbox')).mode & 0o7777).toBe(0o4755);
  const entry = readFileSync(join(root, 'usr/share/applications/bandwright.desktop'), 'utf8');
  expect(entry).toContain('\nExec=/opt/bandwright/bandwright\nIcon=bandwright\n');
  expect(dpkg('--verify', 'bandwright')).toBe('');
  writeFileSync(join(root, 'opt/bandwright/bandwright'), 'something else');
  expect(dpkg('--verify', 'bandwright')).toContain('/opt/bandwright/bandwright');
});

test('it is removed without a trace of the program, and what people made stays', () => {
  const data = join(root, 'home', 'bench', '.local', 'share', 'bandwright', 'workshop');
  mkdirSync(data, { recursive: true });
  writeFileSync(join(data, 'station.sqlite'), 'evidence');
  dpkg('--purge', 'bandwright');
  expect(existsSync(join(root, 'opt/bandwright'))).toBe(false);
  expect(readFileSync(join(data, 'station.sqlite'), 'utf8')).toBe('evidence');
});
