import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, it } from 'vitest';
import { keyCommand } from '../../electron/station/commands/key.ts';
import { setUpCommand } from '../../electron/station/commands/set-up.ts';
import { call } from '../station/commands/calling.ts';
import { openSession } from '../station/key-store/secret-service.ts';
import { temporaryFolder } from '../station/store/bench.ts';
import { launchBench, stationAddress } from './bench-window.ts';

const builtStation = join(import.meta.dirname, '..', '..', 'out', 'station.mjs');

/** Starts the station as the window does, to its end or until it has said that; resolves with what it said. */
function start(folder: string, until = /$^/): Promise<{ out: string; errors: string }> {
  const child = spawn(process.execPath, [builtStation, '--data', folder], {
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  let out = '';
  let errors = '';
  child.stderr?.setEncoding('utf8').on('data', (text: string) => {
    errors += text;
  });
  child.stdout?.setEncoding('utf8').on('data', (text: string) => {
    out += text;
    if (until.test(out)) child.kill();
  });
  return new Promise((resolve) => child.once('close', () => resolve({ out, errors })));
}

/** A data folder whose key is locked in the key store of that session. */
async function makeLockedFolder(): Promise<string> {
  const data = join(temporaryFolder(), 'data');
  const person = { data, json: true, pin: '604117' };
  await call(setUpCommand, '', [], { ...person, workshop: 'Invented', administrator: 'Ada' });
  expect(await call(keyCommand, '', ['protect'], { ...person, person: 'ada' })).toMatchObject({ code: 0 });
  return data;
}

it('the built station opens a locked key where the key store is open, and says what to do where it is not', {
  timeout: 120_000,
}, async () => {
  const session = await openSession();
  await session.signIn('bench', 'an invented password');
  const data = await makeLockedFolder();
  // It says first that it asks the store, then that it is ready.
  expect(
    (await start(data, /"ready"/)).out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line)),
  ).toMatchObject([{ waitsFor: 'key store', name: 'Secret Service' }, { ready: true }]);
  await session.signOut();
  await session.signIn('bench');
  expect((await start(data)).errors).toMatch(
    /Secret Service of this account does not open \(.+\).+unlock the key store/,
  );
});

it('the window says that the key store waits and what to do, and goes on as soon as it is open', {
  timeout: 120_000,
}, async () => {
  const session = await openSession();
  await session.signIn('bench', 'an invented password');
  const data = await makeLockedFolder();
  // As behind a dialog that nobody has answered yet.
  session.fallSilent();
  const app = await launchBench({ data });
  const page = await app.firstWindow();
  await page.getByRole('alert').filter({ hasText: 'Secret Service' }).waitFor();
  expect(await page.textContent('h1')).toBe('The key store is still to be opened');
  // It stays, longer than the library waits for one answer.
  const noticesAfter: string[] = [];
  page.on('framenavigated', (frame) => noticesAfter.push(frame.url()));
  await wait(4_000);
  expect(noticesAfter).toEqual([]);
  session.speakAgain();
  await page.waitForURL(stationAddress);
  await app.close();
});
