import { randomUUID } from 'node:crypto';
import { cpSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import type { Random } from '../../../drivers/simulated/random.ts';
import { Station } from '../../../electron/station/station.ts';
import { type Backup, writeBackup } from '../../../electron/station/store/backup.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { replaceLostKey } from '../../../electron/station/store/key-change.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { restoreBackup } from '../../../electron/station/store/restore.ts';
import { beginAnew, noteRestore } from '../../../electron/station/store/restored-chain.ts';
import { StoreFault } from '../../../electron/station/store/store-fault.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { contentOf, convenienceFiles, damages, evidenceFiles } from './damages.ts';
import { interruption } from './interruption.ts';
import { complaintsOf, Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { startStationChild, withFolder } from './station-child.ts';

const clock = createSystemClock();
const acknowledgedAtLeast = 50;
const log = { info: () => undefined, warn: () => undefined, error: () => undefined };

/** A folder of a station that was killed while it worked, and a backup of it. */
async function makeOriginal(around: string): Promise<{ original: string; backup: Backup; ledger: Ledger }> {
  const original = join(around, 'original');
  mkdirSync(original);
  const ledger = new Ledger();
  const child = startStationChild(original, ['--jobs', '3'], (told) => {
    if (told.kind === 'acknowledged') ledger.note(told);
    if (ledger.acknowledged >= acknowledgedAtLeast) child.process.kill('SIGKILL');
  });
  await child.exited;
  for (const name of convenienceFiles) writeFileSync(join(original, name), '{}');
  const verify = (folder: string) => {
    const { length } = complaintsOf(folder);
    return { intact: length === 0, problemCount: length };
  };
  const target = join(around, 'backups');
  const backup = await writeBackup({ folder: original, target, at: clock.wallTime(), keep: 1, verify });
  return { original, backup, ledger };
}

/**
 * A file of the evidence goes bad while the station is off. Either the station says so in one sentence, keeps what
 * lies there and has a way on, or it opens with everything, or `verify` names the damage: never does it open with
 * less and call that whole.
 */
export function spoilEvidence(rounds: number, random: Random): Promise<FaultRow> {
  return withFolder(async (around) => {
    const { original, backup, ledger } = await makeOriginal(around);
    const last = sequenceOf(original);
    const outcome = ledger.close(original);
    const complaints = [...outcome.complaints];
    const recovered: number[] = [];
    const seen = { refused: 0, 'opened whole': 0, 'named by verify': 0 };
    let lost = outcome.lost;
    let round = 0;
    for (; round < rounds && !interruption.signal.aborted; round += 1) {
      // All else here is done at once: an interruption could not be heard.
      await nextTurn();
      const folder = join(around, 'spoiled');
      cpSync(original, folder, { recursive: true });
      const name = evidenceFiles[round % evidenceFiles.length] ?? databaseName;
      const kinds = Object.entries(damages);
      const [kind, damage] = kinds[Math.floor(round / evidenceFiles.length) % kinds.length] ?? [];
      damage?.(join(folder, name), random);
      const what = `${name} ${kind}`;
      const before = contentOf(folder, name);
      const startedAt = performance.now();
      const opened = tryToOpen(folder);
      if (opened instanceof Error) {
        seen.refused += 1;
        complaints.push(...complaintsAboutWayOn({ folder, what, name, before, fault: opened, backup }));
        recovered.push(performance.now() - startedAt);
      } else {
        const findings = complaintsOf(folder);
        if (findings.length > 0) seen['named by verify'] += 1;
        else if (opened < last) lost += 1;
        else seen['opened whole'] += 1;
      }
      rmSync(folder, { recursive: true });
    }
    return {
      fault: 'file of the evidence cut off, overwritten or gone',
      rounds: round,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      lost,
      duplicated: outcome.duplicated,
      recoveredMilliseconds: recovered,
      complaints,
      note: Object.entries(seen)
        .map(([word, count]) => `${count} ${word}`)
        .join(', '),
    };
  });
}

/** Settings and sessions go bad: the station opens all the same, with every job. */
export function spoilConveniences(rounds: number, random: Random): Promise<FaultRow> {
  return withFolder(async (around) => {
    const { original, ledger } = await makeOriginal(around);
    const complaints: string[] = [];
    const recovered: number[] = [];
    let round = 0;
    for (; round < rounds && !interruption.signal.aborted; round += 1) {
      const name = convenienceFiles[round % convenienceFiles.length] ?? 'bench.json';
      const kinds = Object.entries(damages);
      const [kind, damage] = kinds[Math.floor(round / convenienceFiles.length) % kinds.length] ?? [];
      writeFileSync(join(original, name), '{}');
      damage?.(join(original, name), random);
      const startedAt = performance.now();
      try {
        const station = await Station.open({ dataFolder: original, log });
        recovered.push(performance.now() - startedAt);
        await station.close();
      } catch (error) {
        complaints.push(`${name} ${kind}: ${String(error)}`);
      }
    }
    const { lost, duplicated, complaints: findings } = ledger.close(original);
    return {
      fault: 'file of settings, sessions or PIN tries spoiled',
      rounds: round,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      lost,
      duplicated,
      recoveredMilliseconds: recovered,
      complaints: [...complaints, ...findings],
      note: 'opens all the same',
    };
  });
}

/** The last event of a folder that opens, or why it does not. */
function tryToOpen(folder: string): number | Error {
  try {
    const store = openStore({ folder, clock, createId: randomUUID, rules: jobEvidence });
    const last = store.lastSequence();
    store.close();
    return last;
  } catch (error) {
    return error instanceof Error ? error : new Error(String(error));
  }
}

function sequenceOf(folder: string): number {
  const copy = `${folder}-looked-at`;
  cpSync(folder, copy, { recursive: true });
  const last = tryToOpen(copy);
  rmSync(copy, { recursive: true });
  if (typeof last === 'number') return last;
  throw last;
}

interface Refused {
  readonly folder: string;
  readonly what: string;
  readonly name: string;
  /** What the spoiled file held when the station refused. */
  readonly before: Buffer | undefined;
  readonly fault: Error;
  readonly backup: Backup;
}

/** What is wrong with the way on after a refusal; empty when all is well. */
function complaintsAboutWayOn({ folder, what, name, before, fault, backup }: Refused): string[] {
  if (!(fault instanceof StoreFault)) return [`${what}: no sentence but ${fault.stack}`];
  if (!/^[^\n]{20,300}$/.test(fault.message) || !fault.message.includes(';')) {
    return [`${what}: the sentence does not say what to do: ${fault.message}`];
  }
  const after = contentOf(folder, name);
  if (before !== undefined && after?.equals(before) !== true) return [`${what}: was changed by the refusal`];
  if (fault.code === 'key_unusable' || fault.code === 'key_lost')
    return complaintsAboutNewKey(folder, what, before);
  const anew = `${folder}-anew`;
  cpSync(folder, anew, { recursive: true });
  const { keptIn } = beginAnew(anew, clock);
  const kept = keptIn === null ? undefined : contentOf(keptIn, name);
  const complaints: string[] = [];
  if (before !== undefined && kept?.equals(before) !== true) complaints.push(`${what}: no copy was kept`);
  if (typeof tryToOpen(anew) !== 'number') complaints.push(`${what}: does not open after beginning anew`);
  rmSync(anew, { recursive: true });
  const restored = restoreBackup({ backup: backup.path, folder, at: clock.wallTime(), setAside: true });
  if (restored.ok) noteRestore(folder, clock, restored.value);
  else complaints.push(`${what}: was not restored: ${restored.error.message}`);
  if (typeof tryToOpen(folder) !== 'number') complaints.push(`${what}: does not open after the restore`);
  complaints.push(...complaintsOf(folder).map((finding) => `${what}, restored: ${finding}`));
  return complaints;
}

/** An administrator goes on with a new key: what lay there is kept, and verify names the change and nothing else. */
function complaintsAboutNewKey(folder: string, what: string, before: Buffer | undefined): string[] {
  const options = { folder, clock, createId: randomUUID, rules: jobEvidence };
  const replaced = replaceLostKey(options, 'quartz');
  if (!replaced.ok) return [`${what}: no new key: ${replaced.error.message}`];
  if (typeof tryToOpen(folder) !== 'number') return [`${what}: does not open with a new key either`];
  const kept = readdirSync(folder).filter((one) => one.startsWith('signing-key.set-aside'));
  if (before !== undefined && !kept.some((one) => contentOf(folder, one)?.equals(before)))
    return [`${what}: the file was not kept`];
  const findings = complaintsOf(folder);
  const isNamed = findings.length === 1 && findings[0]?.includes('without voucher') === true;
  return isNamed ? [] : [`${what}: verify says of the new key: ${findings.join('; ')}`];
}
