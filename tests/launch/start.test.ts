import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';

const projectFolder = resolve(import.meta.dirname, '../..');
const standIn = join(projectFolder, 'tests', 'desktop', 'fixtures', 'stand-in-station.ts');
let data: string;
let started: ChildProcessWithoutNullStreams | undefined;

beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'bandwright-start-'));
});
afterEach(async () => {
  if (started?.exitCode === null && started.signalCode === null) {
    started.kill('SIGTERM');
    await once(started, 'exit');
  }
  rmSync(data, { recursive: true, force: true });
});

/** `npm start` as npm runs it, without a display. */
function start(words: readonly string[]) {
  const { DISPLAY: _x, WAYLAND_DISPLAY: _wayland, ...environment } = process.env;
  const child = spawn(
    join(projectFolder, 'node_modules', '.bin', 'node'),
    [join('electron', 'launch', 'start.ts'), ...words],
    { cwd: projectFolder, env: { ...environment, BANDWRIGHT_STATION: standIn } },
  );
  started = child;
  let errors = '';
  let output = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    errors += text;
  });
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    output += text;
  });
  return { child, errors: () => errors, output: () => output };
}

async function addressesOf(bench: ReturnType<typeof start>, count: number): Promise<string[]> {
  const addresses = () => bench.output().trim().split('\n').filter(Boolean);
  await expect.poll(() => addresses().length, { timeout: 15_000 }).toBe(count);
  return addresses();
}

async function stationBehind(address: string): Promise<{ pid: number; data: string }> {
  const page = await (await fetch(address)).text();
  return {
    pid: Number(/id="station-process">(\d+)/.exec(page)?.[1]),
    data: /id="data-folder">([^<]*)/.exec(page)?.[1] ?? '',
  };
}

function isRunning(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

describe('npm start without a display', () => {
  test('says so, serves on loopback, prints the address, and Ctrl-C ends all of it', async () => {
    const bench = start(['--data', data]);
    const [address = ''] = await addressesOf(bench, 1);
    expect(bench.errors()).toContain('There is no display');
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?key=/);
    const station = await stationBehind(address);
    expect(station.data).toBe(data);

    bench.child.kill('SIGINT');
    const [code] = await once(bench.child, 'exit');
    expect(code).toBe(0);
    expect(isRunning(station.pid)).toBe(false);
  });

  test('a killed station is said and replaced; the new address is printed, on the same port', async () => {
    const bench = start(['--data', data]);
    const [first = ''] = await addressesOf(bench, 1);
    process.kill((await stationBehind(first)).pid, 'SIGKILL');
    const [, second = ''] = await addressesOf(bench, 2);
    expect(bench.errors()).toContain('The station ended (signal SIGKILL)');
    expect(new URL(second).port).toBe(new URL(first).port);
    expect(second).not.toBe(first);
    await stationBehind(second);
  });

  test('killed itself, it leaves no station behind', async () => {
    const bench = start(['--data', data]);
    const [address = ''] = await addressesOf(bench, 1);
    const station = await stationBehind(address);
    bench.child.kill('SIGKILL');
    await expect.poll(() => isRunning(station.pid), { timeout: 5_000 }).toBe(false);
  });
});

describe('npm start with words it does not know', () => {
  test.each([['--dta', 'x'], ['--data'], ['bench'], ['--kiosk=yes']])(
    'ends with 2 and one line: %s',
    async (...words) => {
      const bench = start(words);
      const [code] = await once(bench.child, 'close');
      expect(code).toBe(2);
      expect(bench.errors().trim().split('\n')).toHaveLength(1);
      expect(bench.errors()).toContain(words[0]?.split('=')[0]);
      expect(bench.output()).toBe('');
    },
  );

  test('--help says what there is', async () => {
    const bench = start(['--help']);
    const [code] = await once(bench.child, 'close');
    expect(code).toBe(0);
    expect(bench.output()).toContain('--data DIR');
  });
});
