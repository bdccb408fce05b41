import { fork } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { writeBackup } from '../../../electron/station/store/backup.ts';
import { runBackup } from '../../../electron/station/store/backup-run.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { restoreBackup } from '../../../electron/station/store/restore.ts';
import { beginAnew, noteRestore } from '../../../electron/station/store/restored-chain.ts';
import { alterByte, spotsOf, tamper, verdictOn } from '../audit/tampering.ts';
import { openTestStore, temporaryFolder, tickingClock, writeInventedJobs } from './bench.ts';

const at = '2026-03-02T12:00:00.000+01:00';

function folderWith(jobs: number): string {
  const folder = temporaryFolder();
  const store = openTestStore(folder);
  writeInventedJobs(store, jobs);
  store.close();
  return folder;
}

function backup(folder: string, target: string, when = at, keep = 14) {
  return writeBackup({ folder, target, at: when, keep, verify: verdictOn });
}

describe('a backup', () => {
  it('is whole, verified, and without the private key, taken while a station writes', {
    timeout: 30_000,
  }, async () => {
    const folder = temporaryFolder();
    const child = fork(join(import.meta.dirname, '../../crash/store-writer.ts'), [folder, '1']);
    onTestFinished(() => void child.kill('SIGKILL'));
    await new Promise<void>((resolve) => child.once('message', () => resolve()));
    const target = temporaryFolder();
    const first = await runBackup({ folder, target, at, keep: 3 });
    const second = await runBackup({ folder, target, at: '2026-03-02T12:00:01.000+01:00', keep: 3 });
    expect(first.intact && second.intact).toBe(true);
    expect(second.sequence).toBeGreaterThan(first.sequence);
    expect(readdirSync(first.path).sort()).toEqual(['station.head', 'station.sqlite']);
    expect(verdictOn(first.path)).toMatchObject({ intact: true, events: first.sequence });
  });

  it('lets the oldest go only when a new one is verified', async () => {
    const folder = folderWith(1);
    const target = temporaryFolder();
    for (let day = 1; day <= 4; day++) await backup(folder, target, `2026-03-0${day}T12:00:00.000Z`, 3);
    expect(readdirSync(target)).toHaveLength(3);
    expect(readdirSync(target)[0]).toContain('20260302');
    tamper(join(folder, databaseName), (database) => database.exec('DELETE FROM capture'));
    const broken = await backup(folder, target, '2026-03-05T12:00:00.000Z', 3);
    expect(broken).toMatchObject({ intact: false, removed: [] });
    expect(broken.path).toMatch(/\.not-intact$/);
    expect(readdirSync(target)).toHaveLength(4);
  });

  it('leaves nothing half-written where there is nothing to back up', async () => {
    const target = temporaryFolder();
    await expect(backup(temporaryFolder(), target)).rejects.toMatchObject({ code: 'no_database' });
    expect(readdirSync(target)).toEqual([]);
  });
});

describe('a restore', () => {
  it('brings evidence back into an empty folder', async () => {
    const folder = folderWith(2);
    const { path, sequence } = await backup(folder, temporaryFolder());
    const empty = temporaryFolder();
    expect(restoreBackup({ backup: path, folder: empty, at, setAside: false })).toMatchObject({
      ok: true,
      value: { sequence, keptIn: null, lost: null },
    });
    expect(verdictOn(empty)).toMatchObject({ intact: true, events: sequence });
  });

  it('refuses to overwrite newer evidence, and keeps it aside when told to', async () => {
    const folder = folderWith(2);
    const { path, sequence } = await backup(folder, temporaryFolder());
    const store = openTestStore(folder);
    writeInventedJobs(store, 1, 50);
    const last = store.lastSequence();
    const restore = (setAside: boolean) => restoreBackup({ backup: path, folder, at, setAside });
    expect(() => restore(true)).toThrow(expect.objectContaining({ code: 'held' }));
    store.close();
    expect(restore(false)).toMatchObject({ ok: false, error: { code: 'newer_evidence' } });
    const restored = restore(true);
    if (!restored.ok) throw new Error(restored.error.message);
    expect(restored.value).toMatchObject({ sequence, lost: { sequence: last } });
    noteRestore(folder, tickingClock(Date.UTC(2026, 2, 3)), restored.value);
    expect(verdictOn(folder)).toMatchObject({ intact: true, events: sequence + 1 });
    expect(verdictOn(restored.value.keptIn!)).toMatchObject({ intact: true, events: last });
  });

  it('refuses another station’s evidence, and one whose end nobody can read', async () => {
    const { path } = await backup(folderWith(2), temporaryFolder());
    const other = folderWith(1);
    expect(restoreBackup({ backup: path, folder: other, at, setAside: false })).toMatchObject({
      error: { code: 'other_evidence' },
    });
    writeFileSync(join(other, databaseName), 'spoiled');
    expect(restoreBackup({ backup: path, folder: other, at, setAside: false })).toMatchObject({
      error: { code: 'other_evidence' },
    });
  });

  it('replaces a damaged database by a backup that has everything the head file knows of', async () => {
    const folder = folderWith(2);
    const { path, sequence } = await backup(folder, temporaryFolder());
    writeFileSync(join(folder, databaseName), Buffer.alloc(8192, 7));
    expect(() => openTestStore(folder)).toThrow(expect.objectContaining({ code: 'damaged' }));
    const restored = restoreBackup({ backup: path, folder, at, setAside: false });
    expect(restored).toMatchObject({ ok: true, value: { sequence, lost: null } });
    expect(verdictOn(folder).intact).toBe(true);
  });

  it('without any backup begins anew and says how the old chain ended', () => {
    const folder = folderWith(1);
    writeFileSync(join(folder, databaseName), Buffer.alloc(8192, 7));
    const { keptIn, lost } = beginAnew(folder, tickingClock());
    expect(existsSync(join(keptIn!, databaseName))).toBe(true);
    const store = openTestStore(folder);
    expect(store.readStream('station').at(-1)).toMatchObject({
      kind: 'evidenceBegunAnew',
      body: { setAside: { sequence: lost!.sequence } },
    });
  });
});

describe('a station that starts on damaged evidence', () => {
  it('says in one sentence what is wrong, and writes nothing', () => {
    const cases: [string, (folder: string) => void][] = [
      [
        'cut off',
        (folder) =>
          writeFileSync(
            join(folder, databaseName),
            readFileSync(join(folder, databaseName)).subarray(0, 30_000),
          ),
      ],
      ['overwritten', (folder) => writeFileSync(join(folder, databaseName), 'x'.repeat(5000))],
      [
        'end removed',
        (folder) =>
          tamper(join(folder, databaseName), (database) => {
            for (const table of ['job_end', 'record', 'capture', 'consumption', 'seal', 'event'])
              database.exec(`DELETE FROM ${table} WHERE sequence > 8`);
          }),
      ],
      [
        'last event altered',
        (folder) => {
          const file = join(folder, databaseName);
          const spots = spotsOf(file).filter(({ table, column }) => table === 'event' && column === 'hash');
          alterByte(file, spots.at(-1)!.places[3]!, 1);
        },
      ],
      [
        'event added',
        (folder) =>
          tamper(join(folder, databaseName), (database) =>
            database.exec(
              "INSERT INTO event SELECT sequence + 1, 'workshop', 1, kind, at, person_id, body, hash, hash FROM event ORDER BY sequence DESC LIMIT 1",
            ),
          ),
      ],
    ];
    for (const [name, damage] of cases) {
      const folder = folderWith(1);
      damage(folder);
      const before = readFileSync(join(folder, databaseName));
      expect(() => openTestStore(folder), name).toThrow(
        expect.objectContaining({ name: 'StoreFault', code: 'damaged' }),
      );
      expect(readFileSync(join(folder, databaseName)).equals(before), name).toBe(true);
    }
  });

  it('refuses a newer schema and another program’s file in words', () => {
    const newer = folderWith(1);
    tamper(join(newer, databaseName), (database) => database.pragma('user_version = 99'));
    expect(() => openTestStore(newer)).toThrow(/newer version \(schema 99/);
    const foreign = folderWith(1);
    tamper(join(foreign, databaseName), (database) => database.pragma('application_id = 5'));
    expect(() => openTestStore(foreign)).toThrow(expect.objectContaining({ code: 'not_ours' }));
  });
});
