import { cpSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { Station } from '../../../electron/station/station.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { headFileName } from '../../../electron/station/store/head-file.ts';
import { StoreFault } from '../../../electron/station/store/store-fault.ts';
import type { JobCommand } from '../../../shared/job/command.ts';
import type { JobState } from '../../../shared/job/state.ts';
import { workForEver } from './brisk-technician.ts';
import { type DiskFault, diskFaults } from './disk-faults.ts';
import { jumpyClock } from './jumpy-clock.ts';
import type { Told } from './told.ts';

/**
 * A station at work without screens. It tells its parent over the channel of each command after it has returned:
 * what a screen would show green. It works until it is killed, or:
 *
 *   --fault KIND --rounds N   every command meets a fault of disk-faults.ts, until N have failed
 *   --copies DIR --rounds N   copies its files after each command, N times
 *   --jumps --rounds N        the wall clock jumps N times
 *   --begun MS                wall time at which the first of several stations on the same data began
 */
const { values } = parseArgs({
  options: {
    data: { type: 'string', default: '' },
    fault: { type: 'string' },
    rounds: { type: 'string', default: '0' },
    copies: { type: 'string' },
    jumps: { type: 'boolean', default: false },
    begun: { type: 'string' },
    jobs: { type: 'string', default: '12' },
    pause: { type: 'string', default: '1' },
  },
});
// Without a parent nobody counts what it does.
process.once('disconnect', () => process.exit(1));
const startedAt = performance.now();
// Five times as fast: dishes settle and pulls end sooner, so that more is captured.
const clock = jumpyClock(5, values.begun === undefined ? Date.now() : Number(values.begun));
const log = { info: () => undefined, warn: () => undefined, error: () => undefined };
const station = await Station.open({
  dataFolder: values.data,
  log,
  clock,
  pinHashing: { cost: 16, blockSize: 1, parallelization: 1 },
});
// The usual wrench stamps its pulls with the time of the computer, and a pull older than the last one counts as old.
if (values.jumps) station.bench.assign('wrench-2');
await tell({ kind: 'ready', milliseconds: performance.now() - startedAt });

const fault: DiskFault | undefined =
  values.fault === undefined ? undefined : diskFaults[values.fault]?.(values.data);
if (values.fault !== undefined && fault === undefined) throw new Error(`no fault ${values.fault}`);
const rounds = Number(values.rounds);
const longestPause = Number(values.pause);
let roundsDone = 0;
/** Which write fails next. */
let writeNumber = 1;

function tell(message: Told): Promise<void> {
  return new Promise((resolve) => process.send?.(message, () => resolve()));
}

function carryOut(command: JobCommand): JobState {
  const person = station.people.find({ personId: 'amber' });
  if (person === undefined) throw new Error('the demo workshop has no amber');
  const state = station.jobs.command(command, {
    person: { personId: person.personId, roles: person.roles },
    pinVerified: true,
  });
  if (state.ok) return state.value;
  throw new Error(`${command.kind} was refused: ${state.error.field} ${state.error.message}`);
}

/** A station that waited for its disk or a processor heard no instrument meanwhile: a person tries until it is heard again. */
async function carryOutAgain(command: JobCommand): Promise<JobState> {
  const latest = performance.now() + 10_000;
  for (;;) {
    try {
      return carryOut(command);
    } catch (error) {
      if (error instanceof StoreFault || performance.now() > latest) throw error;
      await sleep(20);
    }
  }
}

/** The command meets the fault at its n-th write, and is repeated when the fault is over. */
async function carryOutInTrouble(command: JobCommand, trouble: DiskFault): Promise<JobState> {
  const before = station.store.lastSequence();
  trouble.begin(writeNumber);
  try {
    const state = carryOut(command);
    trouble.end();
    // It needs no more writes than that: the next command is tried from the first on.
    writeNumber = 1;
    return state;
  } catch (error) {
    trouble.end();
    if (!(error instanceof StoreFault)) return carryOutAgain(command);
    const overAt = performance.now();
    if (station.store.lastSequence() !== before) throw new Error(`${command.kind} was half-written`);
    const state = await carryOutAgain(command);
    roundsDone += 1;
    const milliseconds = performance.now() - overAt;
    await tell({ kind: 'fault', code: error.code, message: error.message, writeNumber, milliseconds });
    writeNumber += 1;
    return state;
  }
}

async function carry(command: JobCommand): Promise<JobState> {
  if (values.jumps) {
    await tell({ kind: 'jump', ...clock.jump(roundsDone) });
    roundsDone += 1;
  }
  const state = fault === undefined ? await carryOutAgain(command) : await carryOutInTrouble(command, fault);
  const { jobId, version } = state;
  const hash = station.store.readStream(`job/${jobId}`, version)[0]?.hash ?? '';
  await tell({ kind: 'acknowledged', command: command.kind, jobId, version, hash });
  if (values.copies !== undefined) await copyFiles(values.copies);
  if (rounds > 0 && roundsDone >= rounds) await end();
  await sleep(Math.random() * longestPause);
  return state;
}

/** Between two commands: what a snapshot of the disk would hold at this instant. */
async function copyFiles(target: string): Promise<void> {
  const copy = join(target, String(roundsDone));
  mkdirSync(copy, { recursive: true });
  for (const name of [databaseName, `${databaseName}-wal`, headFileName, 'signing-key.pem']) {
    cpSync(join(values.data, name), join(copy, name));
  }
  roundsDone += 1;
  const seen = new Promise((resolve) => process.once('message', resolve));
  await tell({ kind: 'copied', copy, lastSequence: station.store.lastSequence() });
  await seen;
}

async function end(): Promise<never> {
  await station.close();
  fault?.dispose();
  process.disconnect();
  process.exit(0);
}

await workForEver({ station, carry, jobsAtOnce: Number(values.jobs), serialPrefix: 'FAULT' });
