import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { chanceOf, inventedJob } from '../../../electron/station/audit/invented-job.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import type { Database } from '../../../electron/station/store/sqlite.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { appendJobEvents, tickingClock } from '../store/bench.ts';
import { alterByte, type Copy, copyOf, spotsOf, tamper, verdictOn } from './tampering.ts';

const base = mkdtempSync(join(tmpdir(), 'bandwright-evidence-'));
let copy: Copy;

/** Two jobs; one holds a note with the character that stands for bytes that are none. */
beforeAll(() => {
  const store = openStore({
    folder: base,
    clock: tickingClock(),
    createId: () => 'station',
    rules: jobEvidence,
  });
  const documents = putInventedDocuments(store);
  for (const number of [1, 2]) {
    const events = inventedJob(number, Date.UTC(2026, 2, 2), documents);
    const [{ jobId, at, personId }] = events as [JobEvent];
    const note = { kind: 'noteWritten', jobId, at, personId, stepId: null, text: 'read as \uFFFD' } as const;
    appendJobEvents(store, [...events.slice(0, 1), note, ...events.slice(1)]);
  }
  store.close();
  copy = copyOf(base);
});
afterAll(() => {
  copy.remove();
  rmSync(base, { recursive: true, force: true });
});

function verdictAfter(change: (database: Database) => void) {
  copy.restore();
  tamper(copy.file, change);
  return verdictOn(copy.folder, { stages: 'chain' });
}

const noteOf = (database: Database) =>
  database
    .prepare<[], { sequence: number; body: Buffer }>(
      "SELECT sequence, CAST(body AS BLOB) AS body FROM event WHERE kind = 'noteWritten' LIMIT 1",
    )
    .get()!;

/** Puts other bytes in the place of a note, as text. */
function writeNote(database: Database, change: (body: Buffer) => Buffer): number {
  const { sequence, body } = noteOf(database);
  database.prepare('UPDATE event SET body = CAST(? AS TEXT) WHERE sequence = ?').run(change(body), sequence);
  return sequence;
}

describe('the first stage of a verification', () => {
  it('is named in its result, and says nothing of the second', () => {
    copy.restore();
    expect(verdictOn(copy.folder, { stages: 'chain' })).toMatchObject({
      ...{ stage: 'chain', intact: true, chain: { intact: true, problemCount: 0 } },
      ...{ events: 24, records: 2, documents: 5, problems: [] },
    });
    expect(verdictOn(copy.folder)).toMatchObject({ stage: 'content', intact: true, records: 2 });
  });

  it('finds any byte that was altered in an event, a seal, a record or a document', {
    timeout: 60_000,
  }, () => {
    const sealed = new Set(['event', 'seal', 'record', 'document']);
    const spots = spotsOf(copy.file).filter(({ table }) => sealed.has(table));
    const missed: unknown[] = [];
    for (let round = 0; round < 150; round++) {
      const spot = spots[Math.floor(chanceOf(round, 1) * spots.length)]!;
      const place = spot.places[Math.floor(chanceOf(round, 2) * spot.places.length)]!;
      copy.restore();
      alterByte(copy.file, place, 1 << Math.floor(chanceOf(round, 3) * 8));
      if (verdictOn(copy.folder, { stages: 'chain' }).intact) missed.push({ round, ...spot, place });
    }
    expect(missed).toEqual([]);
  });

  it('tells bytes that are no text from the character that stands for them', () => {
    let sequence = 0;
    const { problems } = verdictAfter((database) => {
      sequence = writeNote(database, (body) => {
        const at = body.indexOf('\uFFFD');
        expect(at).toBeGreaterThan(0);
        return Buffer.concat([body.subarray(0, at), Buffer.from([0xff]), body.subarray(at + 3)]);
      });
      expect(noteOf(database).body.toString()).toContain('\uFFFD');
    });
    expect(problems).toMatchObject([{ kind: 'altered', sequence }]);

    const inRecord = verdictAfter((database) => {
      const at = "instr(CAST(body AS BLOB), CAST('�' AS BLOB))";
      database.exec(
        `UPDATE record SET body = CAST(substr(CAST(body AS BLOB), 1, ${at} - 1) || x'ff' || substr(CAST(body AS BLOB), ${at} + 3) AS TEXT)`,
      );
    });
    expect(inRecord.problems).toMatchObject([{ kind: 'record' }, { kind: 'record' }]);
  });

  it('finds bytes in front of a body or behind it that a reader may pass over', () => {
    for (const [front, back] of [
      [[0xef, 0xbb, 0xbf], []],
      [[], [0]],
      [[], [0x20]],
    ] as const) {
      let sequence = 0;
      const { problems } = verdictAfter((database) => {
        sequence = writeNote(database, (body) =>
          Buffer.concat([Buffer.from(front), body, Buffer.from(back)]),
        );
      });
      expect(problems).toMatchObject([{ kind: 'altered', sequence }]);
    }
  });

  it('finds texts that were moved from one column to the next', () => {
    const { problems } = verdictAfter((database) => {
      database
        .prepare("UPDATE event SET at = at || '\",\"body\":' || body, body = '1' WHERE sequence = ?")
        .run(noteOf(database).sequence);
    });
    expect(problems[0]).toMatchObject({ kind: 'altered' });
  });

  it('names a record that was taken out, with its event left or not', () => {
    const sequenceOf = (database: Database) =>
      database.prepare<[], number>('SELECT min(sequence) FROM record').pluck().get()!;
    let sequence = 0;
    const taken = verdictAfter((database) => {
      sequence = sequenceOf(database);
      database.prepare('DELETE FROM record WHERE sequence = ?').run(sequence);
    });
    expect(taken.problems).toMatchObject([
      { kind: 'record', sequence, sentence: expect.stringContaining('was removed') },
    ]);
    const both = verdictAfter((database) => {
      for (const table of ['record', 'event'])
        database.prepare(`DELETE FROM ${table} WHERE sequence = ?`).run(sequence);
    });
    expect(both.problems.map((problem) => problem.sequence)).toContain(sequence);
  });
});

describe('the second stage of a verification', () => {
  it('finds what the first leaves to it: an index row that was altered or added', () => {
    const changes = [
      "UPDATE capture SET decision = 'fail' WHERE sequence = (SELECT min(sequence) FROM capture)",
      "INSERT INTO consumption SELECT sequence, 'lot-other', job_id, at FROM consumption LIMIT 1",
      "INSERT INTO job_end SELECT sequence - 1, job_id, 'voided', at FROM job_end LIMIT 1",
    ];
    for (const change of changes) {
      expect(verdictAfter((database) => database.exec(change))).toMatchObject({
        stage: 'chain',
        intact: true,
      });
      const { chain, intact, problems } = verdictOn(copy.folder);
      expect([chain.intact, intact], change).toEqual([true, false]);
      expect(problems, change).toMatchObject([{ kind: 'index', jobId: 'invented-00000001' }]);
    }
  });
});
