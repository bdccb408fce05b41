import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { generateJobs } from '../../../electron/station/audit/generate.ts';
import { placesPerPiece } from '../../../electron/station/audit/pieces.ts';
import type { Problem } from '../../../electron/station/audit/problem.ts';
import { runVerify } from '../../../electron/station/audit/verify-run.ts';
import type { Database } from '../../../electron/station/store/sqlite.ts';
import { forgeDecision, forgeRecord, rehashFrom } from './forgery.ts';
import { type Copy, copyOf, tamper, verdictOn } from './tampering.ts';

const base = mkdtempSync(join(tmpdir(), 'bandwright-evidence-'));
let copy: Copy;

/** Enough pieces for three threads. */
beforeAll(() => {
  generateJobs({ folder: base, clock: createSystemClock(), count: 330, first: 1 });
  copy = copyOf(base);
}, 60_000);
afterAll(() => {
  copy.remove();
  rmSync(base, { recursive: true, force: true });
});

async function verdictOf(threads: number) {
  const problems: Problem[] = [];
  const steps = new Set<number>();
  const result = await runVerify({
    folder: copy.folder,
    threads,
    onProblem: (problem) => problems.push(problem),
    onProgress({ stage, done, total }) {
      if (stage === 'content' && done < total) steps.add(done % placesPerPiece);
    },
  });
  return { result, problems, steps };
}

const captureAt = (database: Database, job: number) =>
  database
    .prepare<[string], number>('SELECT min(sequence) FROM capture WHERE job_id = ?')
    .pluck()
    .get(`invented-${String(job).padStart(8, '0')}`)!;

const deeds: Readonly<Record<string, (database: Database) => void>> = {
  nothing: () => undefined,
  'index rows altered, taken out and put in at many places'(database) {
    database.exec("UPDATE capture SET decision = 'fail' WHERE sequence % 11 = 0");
    database.exec('DELETE FROM job_end WHERE sequence % 13 = 0');
    database.exec(
      "INSERT INTO consumption SELECT sequence, 'lot-other', job_id, at FROM consumption WHERE sequence % 17 = 0",
    );
    database.exec('DELETE FROM event WHERE sequence % 997 = 0');
  },
  'decisions and records forged, with every hash made again'(database) {
    forgeDecision(database, captureAt(database, 120));
    forgeDecision(database, captureAt(database, 320));
    const record = database.prepare<[number], number>('SELECT max(sequence) FROM record WHERE sequence < ?');
    forgeRecord(database, record.pluck().get(captureAt(database, 200))!);
    rehashFrom(database, captureAt(database, 120));
  },
  'bodies that are none'(database) {
    database.exec("UPDATE event SET body = '{}' WHERE sequence % 1009 = 5");
    rehashFrom(database, 5);
  },
  'a table that cannot be read'(database) {
    database.exec("UPDATE capture SET decision = 'fail' WHERE sequence % 11 = 0");
    database.exec('ALTER TABLE consumption RENAME COLUMN lot_id TO let_id');
  },
};

describe('a verification by several threads', () => {
  for (const [name, deed] of Object.entries(deeds)) {
    it(`finds the same in the same order as one thread does: ${name}`, { timeout: 60_000 }, async () => {
      copy.restore();
      tamper(copy.file, deed);
      const { problems, ...inOneGo } = verdictOn(copy.folder);
      expect(problems.length > 0).toBe(name !== 'nothing');
      for (const threads of [1, 2, 3]) {
        const found = await verdictOf(threads);
        expect(found.problems.map(({ sentence }) => sentence)).toEqual(
          problems.map(({ sentence }) => sentence),
        );
        expect(found.problems).toEqual(problems);
        expect({ ...found.result, problemCount: 0 }).toEqual({ ...inOneGo, problemCount: 0 });
        expect(found.result?.problemCount).toBe(problems.length);
        // Several threads tell their progress by whole pieces.
        if (threads > 1) expect([...found.steps]).toEqual([0]);
      }
    });
  }

  it('stops all of them when it is told to', { timeout: 60_000 }, async () => {
    copy.restore();
    const stop = new AbortController();
    const result = await runVerify({
      folder: copy.folder,
      threads: 3,
      signal: stop.signal,
      onProblem: ({ sentence }) => expect.fail(sentence),
      onProgress({ stage }) {
        if (stage === 'content') stop.abort();
      },
    });
    expect(result).toBeNull();
  });
});
