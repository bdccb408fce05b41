import { fork } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { chanceOf, inventedJob } from '../../electron/station/audit/invented-job.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { verdictOn } from '../station/audit/tampering.ts';
import { appendJobEvents, openTestStore, temporaryFolder } from '../station/store/bench.ts';

/** `KILLS=1000 npx vitest run …` for the long run. */
const kills = Number(process.env.KILLS ?? 8);

interface Acknowledged {
  readonly stream: string;
  readonly version: number;
  readonly hash: string;
}

/** Lets a station write and kills it after a while, without warning. Returns what it had acknowledged. */
async function writeAndKill(folder: string, first: number, milliseconds: number): Promise<Acknowledged[]> {
  const acknowledged: Acknowledged[] = [];
  const child = fork(join(import.meta.dirname, 'store-writer.ts'), [folder, String(first)], {
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const exited = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  await new Promise<void>((resolve, reject) => {
    child.on('message', (message: 'ready' | Acknowledged) => {
      if (message === 'ready') resolve();
      else acknowledged.push(message);
    });
    child.once('exit', () => reject(new Error('the station ended by itself')));
  });
  await wait(milliseconds);
  child.kill('SIGKILL');
  await exited;
  return acknowledged;
}

describe('a station that is killed while it writes', () => {
  it(`loses nothing acknowledged and doubles nothing, ${kills} times in a row on the same data`, {
    timeout: 60_000 + kills * 3000,
  }, async () => {
    const folder = temporaryFolder();
    const acknowledged: Acknowledged[] = [];
    for (let round = 0; round < kills; round++) {
      const milliseconds = 5 + Math.floor(chanceOf(round, 1) * 250);
      acknowledged.push(...(await writeAndKill(folder, 1 + round * 10_000, milliseconds)));
      // The next station opens at once: no lock is left, nothing is half-written, the head does not lead.
      const reader = openEvidence(folder);
      for (const { stream, version, hash } of acknowledged) {
        expect(reader.readStream(stream, version)[0]?.hash).toBe(hash);
      }
      reader.close();
    }
    expect(acknowledged.length).toBeGreaterThan(kills);
    expect(verdictOn(folder)).toMatchObject({ intact: true, problems: [] });
    openTestStore(folder);
  });
});

describe('copies of database, WAL and head taken at every commit', () => {
  it('open, verify, and hold everything up to that commit', { timeout: 60_000 }, () => {
    const folder = temporaryFolder();
    const copies = temporaryFolder();
    const store = openTestStore(folder);
    const references = putInventedDocuments(store);
    const taken: { copy: string; last: number }[] = [];
    for (const number of [1, 2]) {
      for (const event of inventedJob(number, 0, references)) {
        appendJobEvents(store, [event]);
        const copy = join(copies, String(taken.length));
        mkdirSync(copy);
        for (const name of ['station.sqlite', 'station.sqlite-wal', 'station.head', 'signing-key.pem']) {
          cpSync(join(folder, name), join(copy, name));
        }
        taken.push({ copy, last: store.lastSequence() });
      }
    }
    for (const { copy, last } of taken) {
      expect(verdictOn(copy), copy).toMatchObject({ intact: true, events: last });
      const again = openTestStore(copy);
      expect(again.lastSequence()).toBe(last);
      again.close();
      rmSync(copy, { recursive: true });
    }
  });

  it('open also where the WAL was cut off in the middle of the last commit', { timeout: 60_000 }, () => {
    const folder = temporaryFolder();
    const store = openTestStore(folder);
    appendJobEvents(store, inventedJob(1, 0, putInventedDocuments(store)).slice(0, 4));
    const before = temporaryFolder();
    cpSync(folder, before, { recursive: true });
    const acknowledged = store.lastSequence();
    appendJobEvents(store, inventedJob(1, 0, putInventedDocuments(store)).slice(4, 5));
    const wal = readWal(folder);
    const start = readWal(before).length;
    for (let cut = 1; cut <= 12; cut++) {
      const copy = temporaryFolder();
      cpSync(before, copy, { recursive: true });
      const length = start + Math.floor(((wal.length - start) * (cut - 0.5)) / 12);
      writeFileSync(join(copy, 'station.sqlite-wal'), wal.subarray(0, length));
      rmSync(join(copy, 'station.sqlite-shm'), { force: true });
      expect(verdictOn(copy)).toMatchObject({ intact: true, events: acknowledged });
    }
  });
});

function readWal(folder: string): Buffer {
  return readFileSync(join(folder, 'station.sqlite-wal'));
}
