import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { backupCommand } from '../../../electron/station/commands/backup.ts';
import { doctorCommand } from '../../../electron/station/commands/doctor.ts';
import { exportCommand } from '../../../electron/station/commands/export.ts';
import { keyCommand } from '../../../electron/station/commands/key.ts';
import { restoreCommand } from '../../../electron/station/commands/restore.ts';
import { verifyCommand } from '../../../electron/station/commands/verify.ts';
import { checkKey } from '../../../electron/station/key-health.ts';
import { askKeyStore } from '../../../electron/station/system-key-store.ts';
import { setUpWorkshop } from '../../../electron/station/workshop-set-up.ts';
import { readWrappedKey } from '../../../electron/station/wrapped-key.ts';
import { call } from '../commands/calling.ts';
import { bandwright } from '../commands/running.ts';
import { openTestStore, temporaryFolder, writeInventedJobs } from '../store/bench.ts';
import { openSession, type Session } from './secret-service.ts';

const keyFile = 'signing-key.pem';
// Each look at the key store is a process, on a machine that may be busy.
const slow = { timeout: 90_000 };
let session: Session;
let around: string;
let folder: string;
let keyId: string;

// Set up once, with a PIN that is quickly checked; each test works on a copy.
const original = mkdtempSync(join(tmpdir(), 'bandwright-set-up-'));
beforeAll(async () => {
  const done = await setUpWorkshop({
    dataFolder: original,
    workshop: 'Invented',
    administrator: { personId: 'ada', name: 'Ada' },
    pin: '604117',
    clock: createSystemClock(),
    pinHashing: { cost: 16, blockSize: 1, parallelization: 1 },
  });
  if (!done.ok) throw new Error(done.error.message);
  keyId = done.value.keyId;
});
afterAll(() => rmSync(original, { recursive: true, force: true }));

beforeEach(async () => {
  session = await openSession();
  await session.signIn('bench', 'an invented password');
  around = temporaryFolder();
  folder = join(around, 'data');
  cpSync(original, folder, { recursive: true });
}, slow.timeout);

const key = (action: string, data = folder) =>
  call(keyCommand, '', [action], { data, json: true, person: 'ada', pin: '604117' });
const verify = (data = folder) => call(verifyCommand, '', [], { data, json: true, key: [keyId] });
const keyText = (data = folder) => readFileSync(join(data, keyFile), 'utf8');
const secretOf = (text: string) => askKeyStore({ action: 'read', name: readWrappedKey(text)!.name });

function work(jobs = 1, first = 1): void {
  const store = openTestStore(folder);
  writeInventedJobs(store, jobs, first);
  store.close();
}

describe('a signing key that the Secret Service locks', slow, () => {
  it('is in no file any more, and the station goes on with it', async () => {
    work();
    const plain = keyText();
    expect(JSON.parse((await key('protect')).out)).toEqual({ keyId, protection: 'keyStore' });
    // The 32 bytes of the private half (RFC 8410, 7) end the DER.
    const secret = Buffer.from(plain.split('\n')[1]!, 'base64').subarray(-32);
    for (const name of readdirSync(folder)) {
      expect(readFileSync(join(folder, name)).includes(secret)).toBe(false);
      expect(readFileSync(join(folder, name)).includes('PRIVATE KEY')).toBe(false);
    }
    expect(statSync(join(folder, keyFile)).mode & 0o777).toBe(0o600);
    work(1, 2);
    expect(await verify()).toMatchObject({ code: 0 });
    expect(JSON.parse((await key('status')).out)).toMatchObject({ state: 'here', protection: 'keyStore' });
    expect(checkKey(folder)).toMatchObject({
      verdict: 'good',
      sentence: expect.stringContaining('locked by the Secret Service'),
    });
    expect((await key('protect')).error).toContain('already');
  });

  it('becomes a plain file again, byte by byte, and the store forgets its secret', async () => {
    const plain = keyText();
    await key('protect');
    const locked = keyText();
    expect(secretOf(locked).kind).toBe('secret');
    expect(JSON.parse((await key('unprotect')).out)).toEqual({ keyId, protection: 'file' });
    expect(keyText()).toBe(plain);
    expect(secretOf(locked).kind).toBe('nothing');
    expect(checkKey(folder)).toMatchObject({
      verdict: 'good',
      sentence: expect.stringContaining('plain file'),
    });
  });

  it('hands over to one that never lay in a file, and whose predecessor is gone', async () => {
    await key('protect');
    const old = keyText();
    const { to } = JSON.parse((await key('rotate')).out);
    expect(readWrappedKey(keyText())).toBeDefined();
    expect(secretOf(old).kind).toBe('nothing');
    expect(JSON.parse((await key('status')).out)).toMatchObject({ state: 'here', keyId: to });
    work();
    expect(await verify()).toMatchObject({ code: 0 });
  });

  it('is opened by a station and a command of their own', async () => {
    await key('protect');
    const words = ['key', 'rotate', '--data', folder, '--person', 'ada', '--pin', '-'];
    expect(await bandwright(words, '604117\n')).toMatchObject({
      code: 0,
      out: expect.stringContaining(`took over from key ${keyId}`),
    });
  });
});

describe('a Secret Service that is shut', slow, () => {
  const ways: Readonly<Record<string, () => Promise<void>>> = {
    locked: async () => {
      await session.signOut();
      await session.signIn('bench');
    },
    'not running': () => session.signOut(),
    'without a bus': async () => session.leave(),
  };

  for (const [way, shut] of Object.entries(ways)) {
    it(`(${way}) stops the station with a sentence, and nothing that only reads`, async () => {
      work();
      await key('protect');
      const locked = keyText();
      await shut();
      expect(() => openTestStore(folder)).toThrow(
        expect.objectContaining({ code: 'key_locked', message: expect.stringContaining('unlock') }),
      );
      expect(await key('status')).toMatchObject({ code: 1, out: expect.stringContaining('"locked"') });
      expect(checkKey(folder)).toMatchObject({ verdict: 'bad', sentence: expect.stringContaining('locked') });
      expect(await call(doctorCommand, '', [], { data: folder })).toMatchObject({ code: 1 });
      expect(await verify()).toMatchObject({ code: 0 });
      const out = join(around, 'bundle.tar');
      expect(await call(exportCommand, '', ['bundle'], { data: folder, out })).toMatchObject({
        code: 0,
      });
      // It is not lost: nobody goes on without it by mistake.
      expect(await key('replace')).toMatchObject({ code: 2, error: expect.stringContaining('unlock') });
      expect(keyText()).toBe(locked);
    });

    it(`(${way}) locks no key: the file stays as it is`, async () => {
      await shut();
      const plain = keyText();
      expect(await key('protect')).toMatchObject({
        code: 2,
        error: expect.stringContaining('nothing is lost'),
      });
      expect(keyText()).toBe(plain);
      work();
    });
  }

  it('and is opened later lets the station go on where it was', async () => {
    await key('protect');
    await session.signOut();
    await session.signIn('bench');
    expect(() => openTestStore(folder)).toThrow(expect.objectContaining({ code: 'key_locked' }));
    await session.signOut();
    await session.signIn('bench', 'an invented password');
    work();
    expect(await verify()).toMatchObject({ code: 0 });
  });

  it('because it does not answer is waited for no longer than was said', async () => {
    await key('protect');
    session.fallSilent();
    const { name } = readWrappedKey(keyText())!;
    expect(askKeyStore({ action: 'read', name }, 1000)).toEqual({
      kind: 'shut',
      reason: 'no answer within 1 s',
    });
  });
});

describe('a locked key in another account', slow, () => {
  beforeEach(async () => {
    work();
    await key('protect');
    await session.signOut();
    await session.signIn('another', 'another password');
  }, slow.timeout);

  it('is lost there: an administrator goes on with a new one, and the locked file is kept', async () => {
    expect(() => openTestStore(folder)).toThrow(
      expect.objectContaining({ code: 'key_lost', message: expect.stringContaining('key replace') }),
    );
    const locked = keyText();
    expect(JSON.parse((await key('replace')).out)).toMatchObject({ from: keyId });
    const kept = readdirSync(folder).find((name) => name.startsWith('signing-key.set-aside'))!;
    expect(readFileSync(join(folder, kept), 'utf8')).toBe(locked);
    expect(JSON.parse((await key('status')).out)).toMatchObject({ state: 'here', protection: 'file' });
    expect(await verify()).toMatchObject({ code: 1, out: expect.stringContaining('"key"') });
  });

  it('is no key to restore with; an unlocked copy is', async () => {
    const backup = (await call(backupCommand, '', [join(around, 'backups')], { data: folder })).out;
    const other = join(around, 'other');
    cpSync(folder, other, { recursive: true });
    for (const name of readdirSync(other))
      if (name !== keyFile) rmSync(join(other, name), { recursive: true });
    expect(await call(restoreCommand, '', [backup], { data: other, json: true })).toMatchObject({
      code: 2,
      error: expect.stringContaining('signing-key.pem'),
    });
    // What lay in the safe.
    await session.signOut();
    await session.signIn('bench', 'an invented password');
    await key('unprotect');
    writeFileSync(join(other, keyFile), keyText(), { mode: 0o600 });
    await session.leave();
    expect(await call(restoreCommand, '', [backup], { data: other, json: true })).toMatchObject({ code: 0 });
    expect(await verify(other)).toMatchObject({ code: 0 });
  });
});

describe('a locked key file that is spoiled', slow, () => {
  it('is named as one, wherever a byte was changed or cut off, and nothing is overwritten', async () => {
    await key('protect');
    const locked = keyText();
    const wrapped = readWrappedKey(locked)!;
    const spoiled = [
      locked.slice(0, locked.length / 2),
      locked.replace('LOCKED KEY-----\n', 'LOCKED KEY-----\nAAAA'),
      remade(locked, { ...wrapped, sealed: `AAAA${wrapped.sealed.slice(4)}` }),
      remade(locked, { ...wrapped, nonce: `AAAA${wrapped.nonce.slice(4)}` }),
      remade(locked, { ...wrapped, sealed: '' }),
      remade(locked, { ...wrapped, nonce: '' }),
    ];
    for (const text of spoiled) {
      writeFileSync(join(folder, keyFile), text);
      expect(() => openTestStore(folder)).toThrow(expect.objectContaining({ code: 'key_unusable' }));
      expect(checkKey(folder)).toMatchObject({ verdict: 'bad' });
      expect(keyText()).toBe(text);
    }
    writeFileSync(join(folder, keyFile), locked);
    work();
  });
});

function remade(locked: string, wrapped: object): string {
  const [first, begin] = locked.split('\n');
  const body = Buffer.from(JSON.stringify(wrapped)).toString('base64');
  return `${first}\n${begin}\n${body}\n${locked.trimEnd().split('\n').at(-1)}\n`;
}
