import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { expect, it, onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import { setUpCommand } from '../../../electron/station/commands/set-up.ts';
import type { News, Snapshot } from '../../../shared/contract.ts';
import { temporaryFolder } from '../store/bench.ts';
import { call } from './calling.ts';
import { bandwright } from './running.ts';

const commandLine = fileURLToPath(new URL('../../../electron/station/command-line.ts', import.meta.url));

function faultFile(content: unknown): string {
  const file = join(temporaryFolder(), 'faults.json');
  writeFileSync(file, typeof content === 'string' ? content : JSON.stringify(content));
  return file;
}

/** Serves a demo folder and gives what a screen is told of the instruments. */
async function serveDemo(words: readonly string[]): Promise<() => Snapshot['instruments']> {
  const data = join(temporaryFolder(), 'data');
  const child = spawn(process.execPath, [commandLine, 'serve', '--json', '--data', data, ...words], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const closed = new Promise((done) => child.once('close', done));
  const address = await new Promise<string>((done) =>
    createInterface(child.stdout).once('line', (line) => done(JSON.parse(line).url)),
  );
  const { headers } = await fetch(address, { redirect: 'manual' });
  const { origin, host } = new URL(address);
  const cookie = headers.get('set-cookie')?.split(';')[0] ?? '';
  const screen = new WebSocket(`ws://${host}/station`, { headers: { cookie, origin } });
  let instruments: Snapshot['instruments'] = [];
  screen.on('message', (data) => {
    const news: News = JSON.parse(String(data));
    if (news.news === 'snapshot') instruments = news.snapshot.instruments;
  });
  onTestFinished(async () => {
    screen.terminate();
    child.kill();
    await closed;
  });
  return () => instruments;
}

it('a served demo bench does what its fault script says, to that instrument alone', async () => {
  const faults = faultFile({
    'scale-1': [{ kind: 'unplug', atMilliseconds: 300, forMilliseconds: 60_000 }],
    'wrench-1': [],
  });
  const instruments = await serveDemo(['--seed', '7', '--faults', faults]);
  const stateOf = (id: string) =>
    instruments().find(({ instrumentId }) => instrumentId === id)?.port.state ?? 'not told';
  await expect.poll(() => stateOf('scale-1'), { timeout: 10_000 }).toMatch(/^(lost|missing)$/);
  expect(stateOf('wrench-1')).toBe('open');
});

it.each([
  ['{"scale-1":', '--faults: .* is not JSON'],
  [[], '--faults: .* must be an object'],
  [{ 'scale-1': [{ kind: 'rain', atMilliseconds: 1 }] }, '--faults: scale-1\\[0\\].kind: '],
  [{ 'scale-1': [{ kind: 'unplug', atMilliseconds: 1 }] }, '--faults: scale-1\\[0\\].forMilliseconds: '],
  [{ 'scale-9': [] }, '--faults: "scale-9" is no simulated instrument; choose from .*scale-1'],
])('the script %j is refused in one line', async (content, sentence) => {
  const data = join(temporaryFolder(), 'data');
  const { code, out, error } = await bandwright([
    ...['serve', '--json', '--data', data, '--faults', faultFile(content)],
  ]);
  expect([code, out]).toEqual([2, '']);
  expect(error.trim().split('\n')).toHaveLength(1);
  expect(error).toMatch(new RegExp(`^${sentence}`));
});

it('a real workshop is never disturbed by a script', async () => {
  const data = join(temporaryFolder(), 'workshop');
  const words = { workshop: 'Invented real workshop', administrator: 'Heath', pin: '4819', json: true };
  expect((await call(setUpCommand, '', [], { ...words, data })).code).toBe(0);
  const { code, error } = await bandwright(['serve', '--data', data, '--faults', faultFile({})]);
  expect(code).toBe(2);
  expect(error).toContain('belongs to a real workshop');
});

it.each([['serve'], ['demo']])('%s refuses a seed that is no whole number', async (name) => {
  const { code, error } = await bandwright([name, '--data', '/dev/null/none', '--seed', '1.5']);
  expect([code, error]).toEqual([2, '--seed: "1.5" cannot be used; give a whole number\n']);
});
