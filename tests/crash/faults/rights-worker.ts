import { chmodSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { Station } from '../../../electron/station/station.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { headFileName } from '../../../electron/station/store/head-file.ts';
import { StoreFault } from '../../../electron/station/store/store-fault.ts';
import type { RightsTold } from './unwritable.ts';

/**
 * A station whose folder and database cannot be written for a while: `node rights-worker.ts DIR ROUNDS UID`. A process
 * of its own, because root may write everywhere and has to become somebody else for good.
 */
const [folder = '', rounds = '', user = ''] = process.argv.slice(2);
const log = { info: () => undefined, warn: () => undefined, error: () => undefined };
const database = join(folder, databaseName);
const head = join(folder, headFileName);

function tell(message: RightsTold): Promise<void> {
  return new Promise((resolve) => process.send?.(message, () => resolve()));
}

function open(): Promise<Station> {
  return Station.open({
    dataFolder: folder,
    log,
    pinHashing: { cost: 16, blockSize: 1, parallelization: 1 },
  });
}

async function expectRefusal(): Promise<void> {
  try {
    const station = await open();
    await station.close();
    await tell({ complaint: 'a station opened what it may not write' });
  } catch (error) {
    if (!(error instanceof StoreFault)) return tell({ complaint: `no sentence but ${String(error)}` });
    if (['read_only', 'cannot_open'].includes(error.code) && error.message.includes(';')) return;
    await tell({ complaint: `said ${error.code}: ${error.message}` });
  }
}

async function openJob(station: Station, serial: string): Promise<void> {
  const state = station.jobs.command(
    { kind: 'openJob', serial, headId: 'head-slate-short' },
    { person: { personId: 'amber', roles: ['technician'] }, pinVerified: false },
  );
  if (!state.ok) throw new Error(state.error.message);
  const { jobId, version } = state.value;
  await tell({ acknowledged: { command: 'openJob', jobId, version, hash: null } });
}

if (user !== '') {
  process.setgid?.(Number(user));
  process.setuid?.(Number(user));
}
const first = await open();
await first.close();
for (let round = 0; round < Number(rounds); round += 1) {
  const path = round % 2 === 0 ? folder : database;
  chmodSync(path, path === folder ? 0o555 : 0o444);
  await expectRefusal();
  chmodSync(path, path === folder ? 0o700 : 0o644);
  const startedAt = performance.now();
  const station = await open();
  await tell({ milliseconds: performance.now() - startedAt });
  // While it works, what is open stays open: the evidence is written on, and the head in its place.
  chmodSync(folder, 0o555);
  await openJob(station, `RIGHTS-${round}-closed`);
  if (station.store.headLags()) await tell({ complaint: 'the head was not written in its place' });
  // Taken away where no new one can be made, it waits.
  chmodSync(folder, 0o700);
  rmSync(head);
  chmodSync(folder, 0o555);
  await openJob(station, `RIGHTS-${round}`);
  if (!station.store.headLags()) await tell({ complaint: 'a head was written where nothing may be' });
  chmodSync(folder, 0o700);
  await openJob(station, `RIGHTS-${round}-again`);
  if (station.store.headLags()) await tell({ complaint: 'the head lags although it can be written' });
  await station.close();
}
process.disconnect();
