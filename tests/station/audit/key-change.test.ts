import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { runExport } from '../../../electron/station/audit/export-run.ts';
import { openSigningKey } from '../../../electron/station/signing-key.ts';
import { replaceLostKey, rotateKey } from '../../../electron/station/store/key-change.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { openSqlite } from '../../../electron/station/store/sqlite.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { openTestStore, temporaryFolder, tickingClock, writeInventedJobs } from '../store/bench.ts';
import { buildEvidence, tamper, verdictOn } from './tampering.ts';

const keyFile = 'signing-key.pem';
const nextKeyFile = 'signing-key.next.pem';
const optionsOf = (folder: string) => ({
  folder,
  clock: tickingClock(Date.UTC(2026, 5, 1)),
  createId: () => 'x',
  rules: jobEvidence,
});

/** Work with the first key, a change of keys, and work with the second. */
function evidenceOver(change: (folder: string) => unknown): { folder: string; changedAt: number } {
  const folder = temporaryFolder();
  buildEvidence(folder, 2);
  change(folder);
  const store = openTestStore(folder, { clock: tickingClock(Date.UTC(2026, 5, 2)) });
  const changedAt = store.lastSequence();
  writeInventedJobs(store, 2, 10);
  store.close();
  return { folder, changedAt };
}

function rotated() {
  return evidenceOver((folder) => rotateKey(optionsOf(folder), 'quartz'));
}

function lost() {
  return evidenceOver((folder) => {
    rmSync(join(folder, keyFile));
    expect(replaceLostKey(optionsOf(folder), 'quartz')).toMatchObject({ ok: true });
  });
}

async function bundleOf(folder: string, filter: Parameters<typeof runExport>[0]['filter'] = null) {
  const target = join(temporaryFolder(), 'bundle');
  const at = '2026-06-03T12:00:00.000+02:00';
  const result = await runExport({ folder, target, format: 'bundle', style: 'iso', filter, at });
  expect(result).toMatchObject({ ok: true });
  return target;
}

/** Runs a bundle's own verifier in an empty environment. */
function check(bundle: string, ...words: string[]) {
  const { status, stdout } = spawnSync(process.execPath, [join(bundle, 'verify.mjs'), ...words], {
    encoding: 'utf8',
    env: {},
    cwd: '/',
  });
  return { code: status, out: stdout };
}

describe('a key that the old one vouches for', () => {
  it('takes over, and what both signed verifies, also for who knows the old id alone', () => {
    const { folder } = rotated();
    const { intact, keyIds } = verdictOn(folder);
    expect({ intact, keys: keyIds.length }).toEqual({ intact: true, keys: 2 });
    expect(openSigningKey(folder).keyId).toBe(keyIds[1]);
    expect(verdictOn(folder, { trustedKeys: [keyIds[0]!] })).toMatchObject({ intact: true });
    expect(verdictOn(folder, { trustedKeys: [keyIds[1]!] }).problems).toMatchObject([
      { kind: 'key', sequence: 1 },
    ]);
  });

  it('is in bundles of the station and of a serial, whose own verifier follows the voucher', async () => {
    const { folder } = rotated();
    const [first] = verdictOn(folder).keyIds;
    for (const filter of [null, { serial: 'INV-0000010' }]) {
      const bundle = await bundleOf(folder, filter);
      expect(check(bundle)).toMatchObject({ code: 0, out: expect.stringMatching(/^intact/) });
      expect(check(bundle, '--key', first!)).toMatchObject({ code: 0 });
      const manifest = join(bundle, 'bundle.json');
      const text = readFileSync(manifest, 'utf8');
      writeFileSync(manifest, text.replace(/,"voucher":"[^"]+"/, ''));
      expect(check(bundle).out).toContain('key changed without voucher');
    }
  });

  it('says in the chain who let it take over, sealed with the old key', () => {
    const { folder, changedAt } = rotated();
    const database = openSqlite(join(folder, 'station.sqlite'), { readonly: true });
    const introduction = database
      .prepare<[number], { kind: string; person_id: string; key_id: string }>(
        'SELECT kind, person_id, key_id FROM event JOIN seal USING (sequence) WHERE sequence = ?',
      )
      .get(changedAt);
    database.close();
    const [first] = verdictOn(folder).keyIds;
    expect(introduction).toEqual({ kind: 'keyIntroduced', person_id: 'quartz', key_id: first });
  });

  it('leaves no private half of the old one, and takes over again and again', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    const before = readFileSync(join(folder, keyFile), 'utf8');
    for (let round = 0; round < 3; round++) rotateKey(optionsOf(folder), 'quartz');
    expect(readdirSync(folder).filter((name) => name.includes('signing-key'))).toEqual([keyFile]);
    expect(readFileSync(join(folder, keyFile), 'utf8')).not.toBe(before);
    expect(verdictOn(folder)).toMatchObject({ intact: true, problems: [] });
  });
});

describe('a voucher', () => {
  it('that another key signed vouches for nothing', () => {
    const { folder, changedAt } = rotated();
    tamper(join(folder, 'station.sqlite'), (database) => {
      const body = database
        .prepare<[number], string>('SELECT body FROM event WHERE sequence = ?')
        .pluck()
        .get(changedAt)!;
      const forged = body.replace(/"voucher":"..../, '"voucher":"AAAA');
      database.prepare('UPDATE event SET body = ? WHERE sequence = ?').run(forged, changedAt);
    });
    expect(verdictOn(folder).intact).toBe(false);
  });

  it('ends what the old key may sign: whoever kept a copy of it adds nothing unseen', async () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 2);
    const stolen = readFileSync(join(folder, keyFile));
    rotateKey(optionsOf(folder), 'quartz');
    const database = openSqlite(join(folder, 'station.sqlite'), {});
    const last = database.prepare<[], number>('SELECT max(sequence) FROM event').pluck().get()!;
    database.close();
    // The thief's program believes that the stolen key signs still.
    const thief = temporaryFolder();
    for (const name of readdirSync(folder)) copyFileSync(join(folder, name), join(thief, name));
    writeFileSync(join(thief, keyFile), stolen);
    const { createChainWriter } = await import('../../../electron/station/store/chain-writer.ts');
    const { createEvidenceReader } = await import('../../../electron/station/store/evidence-reader.ts');
    const { openDatabase } = await import('../../../electron/station/store/database.ts');
    const { writeHead } = await import('../../../electron/station/store/head-file.ts');
    const opened = openDatabase(thief, 1000);
    const writer = createChainWriter({
      database: opened,
      reader: createEvidenceReader(opened),
      rules: jobEvidence,
      key: openSigningKey(thief),
    });
    const target = { stream: 'workshop', version: 1, personId: null, at: '2026-06-01T09:00:00.000Z' };
    writer.begin();
    writer.writeEvent(target, { kind: 'noted', body: {} });
    writeHead(thief, writer.seal('workshop'));
    opened.close();
    const places = verdictOn(thief).problems.map(({ kind, sequence }) => [kind, sequence]);
    expect(places).toContainEqual(['rewritten', last + 1]);
    expect(places).toContainEqual(['head', last + 1]);
    expect(check(await bundleOf(thief)).out).toContain(`signature: the seal of event ${last + 1}`);
    expect(() => openStore(optionsOf(thief))).toThrow(expect.objectContaining({ code: 'damaged' }));
  });
});

describe('a change of keys that is cut short', () => {
  it('before the chain has it goes on with the old key', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    const { keyId } = openSigningKey(folder);
    writeFileSync(join(folder, nextKeyFile), 'half a fi');
    openTestStore(folder, { clock: tickingClock(Date.UTC(2026, 5, 2)) }).close();
    expect(openSigningKey(folder).keyId).toBe(keyId);
    rotateKey(optionsOf(folder), 'quartz');
    expect(existsSync(join(folder, nextKeyFile))).toBe(false);
  });

  it('behind the chain is carried on at the next start', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    const old = readFileSync(join(folder, keyFile));
    const { to } = rotateKey(optionsOf(folder), 'quartz');
    copyFileSync(join(folder, keyFile), join(folder, nextKeyFile));
    writeFileSync(join(folder, keyFile), old);
    const store = openTestStore(folder, { clock: tickingClock(Date.UTC(2026, 5, 2)) });
    writeInventedJobs(store, 1, 10);
    store.close();
    expect(store.keyId).toBe(to);
    expect(openSigningKey(folder).keyId).toBe(to);
    expect(verdictOn(folder)).toMatchObject({ intact: true, problems: [] });
  });
});

describe('a lost key', () => {
  it('stops the station with a sentence that says what to do, and nothing is made in its place', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    rmSync(join(folder, keyFile));
    expect(() => openStore(optionsOf(folder))).toThrow(
      expect.objectContaining({ code: 'key_lost', message: expect.stringContaining('key replace') }),
    );
    expect(existsSync(join(folder, keyFile))).toBe(false);
    openSigningKey(folder);
    expect(() => openStore(optionsOf(folder))).toThrow(
      expect.objectContaining({ code: 'key_lost', message: expect.stringContaining("not the station's") }),
    );
  });

  it('is followed by a new one that verify names and does not call forged, until it is told both ids', async () => {
    const { folder, changedAt } = lost();
    const { problems, keyIds } = verdictOn(folder);
    expect(problems).toMatchObject([{ kind: 'key', sequence: changedAt }]);
    expect(problems[0]!.sentence).toContain(`key changed without voucher from event ${changedAt} on`);
    expect(problems[0]!.sentence).toContain('no forgery by itself');
    expect(verdictOn(folder, { trustedKeys: keyIds }).intact).toBe(true);
    expect(verdictOn(folder, { trustedKeys: [keyIds[0]!] }).intact).toBe(false);
    const bundle = await bundleOf(folder);
    expect(check(bundle)).toMatchObject({ code: 1, out: expect.stringContaining('everything else intact') });
    expect(check(bundle, ...keyIds.flatMap((id) => ['--key', id]))).toMatchObject({ code: 0 });
  });

  it('is not replaced while it is there', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    expect(replaceLostKey(optionsOf(folder), 'quartz')).toMatchObject({
      ok: false,
      error: { code: 'key_here' },
    });
    expect(verdictOn(folder)).toMatchObject({ intact: true, problems: [] });
  });

  it('whose file was overwritten is replaced, and what lay there is kept', () => {
    const folder = temporaryFolder();
    buildEvidence(folder, 1);
    writeFileSync(join(folder, keyFile), 'spoiled');
    expect(replaceLostKey(optionsOf(folder), 'quartz').ok).toBe(true);
    const aside = readdirSync(folder).find((name) => name.includes('set-aside'))!;
    expect(readFileSync(join(folder, aside), 'utf8')).toBe('spoiled');
  });
});
