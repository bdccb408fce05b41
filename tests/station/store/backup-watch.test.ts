import { readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { backupCommand } from '../../../electron/station/commands/backup.ts';
import { examine } from '../../../electron/station/health.ts';
import { healthChecks } from '../../../electron/station/health-checks.ts';
import { readBackupPlan } from '../../../electron/station/store/backup-plan.ts';
import { type BackupWatch, watchBackups } from '../../../electron/station/store/backup-watch.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { tamper } from '../audit/tampering.ts';
import { call } from '../commands/calling.ts';
import { openTestStore, temporaryFolder, writeInventedJobs } from './bench.ts';

const hour = 3_600_000;
let folder: string;
let target: string;
let now: number;
let said: (string | null)[];
let watch: BackupWatch;

beforeEach(async () => {
  folder = temporaryFolder();
  target = join(temporaryFolder(), 'backups');
  const store = openTestStore(folder);
  writeInventedJobs(store, 1);
  store.close();
  said = [];
  expect(await call(backupCommand, '', [target], { data: folder, every: '24', keep: '3' })).toMatchObject({
    code: 0,
    error: expect.stringContaining('every 24 hours'),
  });
  now = Date.now();
  watch = watchBackups({
    folder,
    now: () => new Date(now).toISOString(),
    everyMilliseconds: 2 ** 30,
    onDone: () => undefined,
    onTrouble: (sentence) => said.push(sentence),
    onTroubleOver: () => said.push(null),
  });
  onTestFinished(() => watch.stop());
});

async function doctorSays() {
  const at = new Date(now).toISOString();
  const checks = healthChecks({ dataFolder: folder, at, listPorts: async () => [] });
  const { findings } = await examine(at, folder, checks);
  return findings.find(({ subject }) => subject === 'backups');
}

describe('planned backups', { timeout: 60_000 }, () => {
  it('a planned backup is made when it is time, not before, and the oldest go', async () => {
    await watch.look();
    expect(readdirSync(target)).toHaveLength(1);
    now += 23.9 * hour;
    await watch.look();
    expect(readdirSync(target)).toHaveLength(1);
    for (let day = 1; day <= 4; day += 1) {
      now += 24 * hour;
      await watch.look();
      expect(readdirSync(target)).toHaveLength(Math.min(3, day + 1));
    }
    expect(said).toEqual([]);
    expect(await doctorSays()).toMatchObject({
      verdict: 'good',
      sentence: expect.stringContaining('0 h ago'),
    });
    now += 97 * hour;
    expect(await doctorSays()).toMatchObject({
      verdict: 'bad',
      sentence: expect.stringContaining('97 h ago'),
    });
  });

  it('a clock that was set back does not put backups off', async () => {
    now -= 1000 * hour;
    await watch.look();
    expect(readdirSync(target)).toHaveLength(2);
  });

  it('a disk that is not plugged in is said once and nothing is written in its place, until it is back', async () => {
    renameSync(target, `${target}-away`);
    now += 25 * hour;
    await watch.look();
    await watch.look();
    expect(said).toEqual([expect.stringContaining('plug its disk in')]);
    expect(await doctorSays()).toMatchObject({
      verdict: 'bad',
      sentence: expect.stringContaining('plug its disk in'),
    });
    expect(readdirSync(join(target, '..'))).toEqual(['backups-away']);
    renameSync(`${target}-away`, target);
    await watch.look();
    expect(said.slice(1)).toEqual([null]);
    expect(readdirSync(target)).toHaveLength(2);
  });

  it('a copy with findings is said, and tried again a whole period later', async () => {
    tamper(join(folder, databaseName), (database) => database.exec('DELETE FROM capture'));
    now += 25 * hour;
    await watch.look();
    now += hour;
    await watch.look();
    expect(said).toEqual([expect.stringContaining('findings')]);
    expect(readdirSync(target)).toHaveLength(2);
    now += 24 * hour;
    await watch.look();
    expect(readdirSync(target)).toHaveLength(3);
  });

  it('a plan that cannot be read is said, and one that is taken away ends', async () => {
    for (const text of [
      '{',
      '{"target":"","everyHours":24,"keep":3}',
      '{"target":"x","everyHours":0,"keep":3}',
    ]) {
      writeFileSync(join(folder, 'backup.json'), text);
      expect(readBackupPlan(folder).ok).toBe(false);
      expect(await doctorSays()).toMatchObject({ verdict: 'bad' });
    }
    await watch.look();
    rmSync(join(folder, 'backup.json'));
    await watch.look();
    expect(said).toEqual([expect.stringContaining('everyHours'), null]);
    expect(await doctorSays()).toMatchObject({
      verdict: 'note',
      sentence: expect.stringContaining('none are planned'),
    });
  });

  it('an interval that is none is refused, and nothing is planned', async () => {
    rmSync(join(folder, 'backup.json'));
    for (const every of ['0', '1.5', 'daily', '721', '']) {
      expect(await call(backupCommand, '', [target], { data: folder, every })).toMatchObject({ code: 2 });
    }
    expect(readBackupPlan(folder)).toEqual({ ok: true, value: null });
  });
});
