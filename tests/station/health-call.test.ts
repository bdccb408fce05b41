import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { writeBackupPlan } from '../../electron/station/store/backup-plan.ts';
import { isHeld } from '../../electron/station/store/folder-lock.ts';
import type { HealthView } from '../../shared/health-view.ts';
import { bandwright } from './commands/running.ts';
import { TestBench } from './test-station.ts';

let bench: TestBench;
beforeEach(async () => {
  bench = await new TestBench().open();
});
afterEach(() => bench.end());

function look(): Promise<HealthView> {
  return bench.mustCall(bench.screen('cedar'), 'health', {});
}

function findingOf({ findings }: HealthView, subject: string) {
  return findings.find((finding) => finding.subject === subject);
}

describe('a look at the health from a screen', () => {
  it('finds a working station with its evidence and its key', async () => {
    const view = await look();
    expect(Date.parse(view.at)).toBeGreaterThan(Date.UTC(2025, 0, 1));
    expect(findingOf(view, 'station')).toMatchObject({ verdict: 'good', code: 'stationWorking' });
    const last = bench.station.store.lastSequence();
    expect(findingOf(view, 'database')).toMatchObject({ code: 'databaseGood', values: { events: last } });
    expect(findingOf(view, 'signed end')).toMatchObject({
      code: 'endGood',
      values: { sequence: last, lastSequence: last },
    });
    expect(findingOf(view, 'signing key')).toMatchObject({ verdict: 'good', code: 'keyInFile' });
    expect(findingOf(view, 'backups')).toMatchObject({ verdict: 'note', code: 'backupsNone' });
  });

  it('says what the command says of every subject, and no folder', async () => {
    writeBackupPlan(bench.folder, { target: 'nowhere', everyHours: 24, keep: 3 });
    const view = await look();
    expect(findingOf(view, 'backups')).toEqual({
      ...{ subject: 'backups', verdict: 'bad', code: 'backupsNeverMade', values: {} },
    });
    const { out } = await bandwright(['doctor', '--json', '--data', bench.folder]);
    const report: HealthView = JSON.parse(out);
    const verdicts = ({ findings }: HealthView) => findings.map(({ subject, code }) => [subject, code]);
    expect(verdicts(view)).toEqual(verdicts(report));
    expect(JSON.stringify(view)).not.toContain(bench.folder);
    expect(JSON.stringify(view)).not.toContain('nowhere');
  });

  it('leaves the folder to the station, and answers two who ask at once', async () => {
    const [first, second] = await Promise.all([look(), look()]);
    expect(second).toEqual(first);
    expect(isHeld(bench.folder)).toBe(true);
    // Another process finds it held too: what the look opened and closed has not let go of the lock.
    const { out } = await bandwright(['doctor', '--json', '--data', bench.folder]);
    expect(findingOf(JSON.parse(out), 'station')).toMatchObject({ code: 'stationWorking' });
  });
});
