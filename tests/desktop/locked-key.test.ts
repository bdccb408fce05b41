import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { keyCommand } from '../../electron/station/commands/key.ts';
import { setUpCommand } from '../../electron/station/commands/set-up.ts';
import { call } from '../station/commands/calling.ts';
import { openSession } from '../station/key-store/secret-service.ts';
import { temporaryFolder } from '../station/store/bench.ts';

const builtStation = join(import.meta.dirname, '..', '..', 'out', 'station.mjs');

/** Starts the station as the window does and ends it when it has said its first line; resolves with what it said. */
function start(folder: string): Promise<{ out: string; errors: string }> {
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
    child.kill();
  });
  return new Promise((resolve) => child.once('close', () => resolve({ out, errors })));
}

it('the built station opens a locked key where the key store is open, and says what to do where it is not', {
  timeout: 120_000,
}, async () => {
  const session = await openSession();
  await session.signIn('bench', 'an invented password');
  const data = join(temporaryFolder(), 'data');
  const person = { data, json: true, pin: '604117' };
  await call(setUpCommand, '', [], { ...person, workshop: 'Invented', administrator: 'Ada' });
  expect(await call(keyCommand, '', ['protect'], { ...person, person: 'ada' })).toMatchObject({ code: 0 });
  expect(JSON.parse((await start(data)).out)).toMatchObject({ ready: true });
  await session.signOut();
  await session.signIn('bench');
  expect((await start(data)).errors).toMatch(
    /Secret Service of this account does not open \(.+\).+unlock the key store/,
  );
});
