import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { backupCommand } from '../../../electron/station/commands/backup.ts';
import { keyCommand } from '../../../electron/station/commands/key.ts';
import { restoreCommand } from '../../../electron/station/commands/restore.ts';
import { setUpCommand } from '../../../electron/station/commands/set-up.ts';
import { verifyCommand } from '../../../electron/station/commands/verify.ts';
import { checkKey } from '../../../electron/station/key-health.ts';
import { openTestStore, temporaryFolder } from '../store/bench.ts';
import { call } from './calling.ts';
import { bandwright } from './running.ts';

const keyFile = 'signing-key.pem';
let folder: string;
let keyId: string;

beforeEach(async () => {
  folder = join(temporaryFolder(), 'data');
  const options = { data: folder, workshop: 'Invented', administrator: 'Ada', pin: '604117', json: true };
  keyId = JSON.parse((await call(setUpCommand, '', [], options)).out).keyId;
});

const asAdministrator = () => ({ data: folder, json: true, person: 'ada', pin: '604117' });
const key = (action: string, options = {}) =>
  call(keyCommand, '', [action], { ...asAdministrator(), ...options });

// Every deed hashes a PIN as the product does.
const slow = { timeout: 60_000 };

describe('the command key', slow, () => {
  it('tells of the key, changes it, and verify follows', async () => {
    expect(JSON.parse((await key('status')).out)).toEqual({
      state: 'here',
      protection: 'file',
      keyId,
      keys: [{ keyId, from: 1, vouched: true }],
    });
    const changed = await key('rotate');
    const { from, to } = JSON.parse(changed.out);
    expect([changed.code, from]).toEqual([0, keyId]);
    const { keys } = JSON.parse((await key('status')).out);
    expect(keys.map((one: { keyId: string; vouched: boolean }) => [one.keyId, one.vouched])).toEqual([
      [keyId, true],
      [to, true],
    ]);
    expect((await call(verifyCommand, '', [], { data: folder, json: true, key: [keyId] })).code).toBe(0);
  });

  it('changes nothing without an administrator and the PIN, and counts wrong ones', async () => {
    const before = readFileSync(join(folder, keyFile), 'utf8');
    expect(await key('rotate', { pin: '604118' })).toMatchObject({
      code: 2,
      error: expect.stringMatching(/^--pin: /),
    });
    expect(await key('rotate', { person: 'nobody' })).toMatchObject({
      code: 2,
      error: expect.stringMatching(/^--person: /),
    });
    for (let attempt = 0; attempt < 12; attempt++) await key('rotate', { pin: '604118' });
    expect(await key('rotate')).toMatchObject({ code: 2, error: expect.stringMatching(/^--pin: Too many/) });
    expect(readFileSync(join(folder, keyFile), 'utf8')).toBe(before);
  });

  it('refuses while a station works there, and words that it does not know', async () => {
    expect(await key('forget')).toMatchObject({ code: 2, error: expect.stringContaining('rotate') });
    const store = openTestStore(folder);
    expect(await key('rotate')).toMatchObject({ code: 2, error: expect.stringContaining('already works') });
    store.close();
  });

  it('says that the key is lost, and lets an administrator go on with a new one that verify names', async () => {
    expect((await key('replace')).error).toContain('is not lost');
    rmSync(join(folder, keyFile));
    expect(await key('status')).toMatchObject({ code: 1 });
    expect(checkKey(folder)).toMatchObject({ verdict: 'bad', sentence: expect.stringContaining('lost') });
    expect(await key('replace', { pin: '604118' })).toMatchObject({ code: 2 });
    const { from, to } = JSON.parse((await key('replace')).out);
    expect(from).toBe(keyId);
    const verdict = await call(verifyCommand, '', [], { data: folder });
    expect(verdict).toMatchObject({ code: 1, out: expect.stringContaining('everything else intact') });
    expect(verdict.error).toContain('without voucher');
    expect((await call(verifyCommand, '', [], { data: folder, json: true, key: [from, to] })).code).toBe(0);
  });

  it('runs as a command of its own', async () => {
    const words = ['key', 'rotate', '--data', folder, '--person', 'ada', '--pin', '-'];
    expect(await bandwright(words, '604117\n')).toMatchObject({
      code: 0,
      out: expect.stringContaining(`took over from key ${keyId}`),
    });
  });
});

describe('a backup on a computer that lacks the key', slow, () => {
  it('is not restored until the key is put there, or an administrator goes on with a new one', async () => {
    const backups = join(folder, '..', 'backups');
    const backup = (await call(backupCommand, '', [backups], { data: folder })).out;
    const bare = join(folder, '..', 'other');
    const refused = await call(restoreCommand, '', [backup], { data: bare, json: true });
    expect(refused).toMatchObject({ code: 2, error: expect.stringContaining('signing-key.pem') });
    expect(existsSync(join(bare, 'station.sqlite'))).toBe(false);
    const options = { ...asAdministrator(), data: bare, 'replace-key': true };
    expect(await call(restoreCommand, '', [backup], options)).toMatchObject({ code: 0 });
    const verdict = await call(verifyCommand, '', [], { data: bare, json: true });
    expect(JSON.parse(verdict.out).problems).toMatchObject([{ kind: 'key' }]);

    const withKey = join(folder, '..', 'third');
    mkdirSync(withKey);
    writeFileSync(join(withKey, keyFile), readFileSync(join(folder, keyFile)), { mode: 0o600 });
    expect(await call(restoreCommand, '', [backup], { data: withKey, json: true })).toMatchObject({
      code: 0,
    });
    expect((await call(verifyCommand, '', [], { data: withKey, json: true })).code).toBe(0);
  });
});
