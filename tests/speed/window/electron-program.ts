import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, writeFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { build } from 'vite';
import { buildOut } from '../../../electron/launch/build.ts';
import { systemSwitches } from '../../../electron/launch/display.ts';
import { findElectron } from '../../../electron/launch/find-electron.ts';
import { nodeProgram } from '../../../vite.config.ts';

const projectFolder = resolve(import.meta.dirname, '../../..');
const workFolder = join(projectFolder, 'tests', '.artifacts', 'speed');

/** Two programs for Electron, ours and the bare one, each also `watched`, ready to be started. */
export interface SpeedPrograms {
  start(program: 'ours' | 'bare', words: readonly string[], watched: boolean): RunningProgram;
}

export interface RunningProgram {
  readonly process: ChildProcess;
  /** Milliseconds since 1970 just before it was started. */
  readonly startedAt: number;
  /** Milliseconds since 1970 at which a watched program said this. */
  said(what: 'painted' | 'live'): Promise<number>;
  /** Address of Chromium's debugging server, of a program that was started with a port for it. */
  debuggingAddress(): Promise<string>;
  quit(): Promise<void>;
}

/** Milliseconds since 1970 with fractions, on the clock that pages have too. */
export function preciseNow(): number {
  return performance.timeOrigin + performance.now();
}

export async function prepareSpeedPrograms(say: (line: string) => void): Promise<SpeedPrograms> {
  await buildOut(say);
  const electron = await findElectron({ environment: process.env, projectFolder, say });
  if (!electron.ok) throw new Error(electron.error.message);
  mkdirSync(workFolder, { recursive: true });
  const builtIn = builtinModules.flatMap((name) => [name, `node:${name}`]);
  const external = ['electron', 'serialport', '@serialport/parser-readline', ...builtIn];
  for (const name of ['watch-window', 'bare-window']) {
    const config = nodeProgram(name, `tests/speed/window/${name}.ts`, external, workFolder);
    await build({ ...config, logLevel: 'warn' });
  }
  const entries = { ours: join(projectFolder, 'out', 'main.mjs'), bare: join(workFolder, 'bare-window.mjs') };
  for (const [program, entry] of Object.entries(entries)) {
    makeApplication(program, [entry]);
    makeApplication(`${program}-watched`, [join(workFolder, 'watch-window.mjs'), entry]);
  }
  const isRoot = process.getuid?.() === 0;
  const switches = systemSwitches(process.platform, process.env, isRoot).map(({ word }) => word);
  return {
    start(program, words, watched) {
      const folder = join(workFolder, watched ? `${program}-watched` : program);
      const startedAt = preciseNow();
      const child = spawn(electron.value.executable, [...switches, folder, '--lang=en-US', ...words], {
        stdio: ['ignore', 'pipe', 'pipe'],
        env: { ...process.env, BANDWRIGHT_NODE: process.execPath },
      });
      return runningProgram(child, startedAt);
    },
  };
}

function makeApplication(name: string, modules: readonly string[]): void {
  const folder = join(workFolder, name);
  mkdirSync(folder, { recursive: true });
  const manifest = { name: `speed-${name}`, version: '0.0.0', main: 'main.mjs' };
  writeFileSync(join(folder, 'package.json'), JSON.stringify(manifest));
  writeFileSync(
    join(folder, 'main.mjs'),
    modules.map((path) => `import ${JSON.stringify(`file://${path}`)};\n`).join(''),
  );
}

function runningProgram(child: ChildProcess, startedAt: number): RunningProgram {
  const said = new Map<string, number>();
  let address: string | undefined;
  let errors = '';
  const news = new EventTarget();
  const heard = () => news.dispatchEvent(new Event('heard'));
  if (child.stdout === null || child.stderr === null) throw new Error('the program has no pipes');
  createInterface({ input: child.stdout }).on('line', (line) => {
    if (!line.startsWith('{"what"')) return;
    const { what, at } = JSON.parse(line) as { what: string; at: number };
    if (!said.has(what)) said.set(what, at);
    heard();
  });
  createInterface({ input: child.stderr }).on('line', (line) => {
    errors += `${line}\n`;
    address ??= /^DevTools listening on (ws:\S+)$/.exec(line)?.[1];
    heard();
  });
  child.on('exit', heard);

  async function until<Value>(look: () => Value | undefined): Promise<Value> {
    for (;;) {
      const value = look();
      if (value !== undefined) return value;
      if (child.exitCode !== null) throw new Error(`the program ended: ${errors}`);
      await once(news, 'heard', { signal: AbortSignal.timeout(60_000) });
    }
  }
  return {
    process: child,
    startedAt,
    said: (what) => until(() => said.get(what)),
    debuggingAddress: () => until(() => address),
    async quit() {
      if (child.exitCode !== null) return;
      const ended = once(child, 'exit');
      child.kill('SIGTERM');
      const late = setTimeout(() => child.kill('SIGKILL'), 20_000);
      await ended;
      clearTimeout(late);
    },
  };
}
