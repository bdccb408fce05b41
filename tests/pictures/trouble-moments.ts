import { join } from 'node:path';
import { lowDiskSentence } from '../../electron/station/disk-watch.ts';
import { databaseName } from '../../electron/station/store/database.ts';
import { openSqlite } from '../../electron/station/store/sqlite.ts';
import { tamper } from '../station/audit/tampering.ts';
import type { Take } from './moments.ts';
import type { PictureBench } from './picture-bench.ts';
import type { Technician } from './technician.ts';

const day = 86_400_000;

export async function troubles(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  const { scale } = bench;
  scale.unplug();
  await amber.untilVerdict('stale');
  await bench.see('.sentence.is-trouble');
  await take('scale-unplugged');
  scale.replug();
  await amber.untilVerdict('fail');
  for (const [name, fault] of [
    ['scale-silent', { kind: 'silence', atMilliseconds: 0, forMilliseconds: 600_000 }],
    [
      'scale-wrong-unit',
      { kind: 'wrong unit', atMilliseconds: 0, forMilliseconds: 600_000, unitText: 'pcs' },
    ],
  ] as const) {
    scale.beginFault(fault);
    await bench.see('.sentence.is-trouble');
    await take(name);
    scale.beginFault({ ...fault, forMilliseconds: 1 });
    await amber.untilVerdict('fail');
  }
  scale.act({ kind: 'put on', massGrams: 9000 });
  await bench.see('.sentence.is-trouble');
  await take('scale-overload');
  scale.act({ kind: 'take off' });
  await amber.untilVerdict('fail');
  // As the watch of the disk says it.
  bench.station.reportFault('disk_low', lowDiskSentence(180 * 1024 * 1024));
  await bench.see('[data-testid=faults]');
  await take('disk-nearly-full');
  bench.station.endFaults(['disk_low']);
  const other = openSqlite(join(bench.folder, databaseName), { timeout: 5000 });
  other.exec('BEGIN IMMEDIATE');
  await bench.each(async (page) => {
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await page.locator('[data-testid=faults]').waitFor();
  });
  await take('database-busy');
  other.exec('ROLLBACK');
  other.close();
}

export async function laterTroubles(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.scan('serial', 'SLT-2002');
  await bench.see('.page[data-phase=step]');
  await amber.press('F8');
  await bench.hand.getByTestId('question-reason').fill('Waiting for a new gear set');
  await amber.press('Enter');
  await bench.see('[data-testid=held]');
  await take('held');
  await amber.press('Enter');
  await bench.see('.page[data-phase=step]');
  await amber.workUntil('fill');
  const port = await bench.stop();
  await bench.see('[data-testid=connection]');
  await take('station-restarting');
  bench.forgetScale();
  await bench.start(port);
  await bench.see('.sentence.is-trouble');
  await take('no-instrument');
  bench.station.bench.assign('scale-1');
  bench.clock.moveOn(731 * day);
  await bench.hand.reload();
  await amber.signIn('DEMO-AMBER', '2580');
  await bench.see('.sentence.is-trouble');
  await take('out-of-calibration');
  await amber.show('instruments');
  await bench.see('[data-testid=fitness].is-fail');
  await take('instrument-out-of-date');
  await amber.show('bench');
  await amber.fromMenu('F7', 'abandon-job');
  await bench.hand.getByTestId('question-reason').fill('Wrong head');
  await amber.press('Enter');
  await bench.see('[data-testid=abandoned]');
  await take('abandoned');
  await amber.press('Enter');
}

/** Somebody altered a value with a database program, past every guard. */
export async function alteredEvidence(bench: PictureBench, amber: Technician, take: Take): Promise<void> {
  await amber.show('audit');
  tamper(join(bench.folder, databaseName), (database) => {
    database.exec(`UPDATE capture SET decision = 'pass' WHERE decision = 'fail'`);
    database.exec(`UPDATE event SET person_id = 'birch' WHERE sequence = 40`);
  });
  await bench.each(async (page) => {
    await page.keyboard.press('F8');
    await page.locator('[data-testid=verify] .is-fail').waitFor();
  });
  await take('audit-altered');
}

/** A browser elsewhere, which may read and nothing else. */
export async function otherDesk(bench: PictureBench, take: Take): Promise<void> {
  await bench.showOtherDesk();
  await bench.see('[data-testid=desk-name]');
  await take('other-desk-door');
}
