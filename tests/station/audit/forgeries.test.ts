import { mkdtempSync, rmSync, unlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { chanceOf } from '../../../electron/station/audit/invented-job.ts';
import { headFileName } from '../../../electron/station/store/head-file.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import { type Database, openSqlite } from '../../../electron/station/store/sqlite.ts';
import { StoreFault } from '../../../electron/station/store/store-fault.ts';
import { forgeDecision, forgeRecord, rehashFrom } from './forgery.ts';
import { buildEvidence, type Copy, copyOf, tamper, verdictOn } from './tampering.ts';

const base = mkdtempSync(join(tmpdir(), 'bandwright-evidence-'));
let copy: Copy;
let captures: readonly { sequence: number; job_id: string; serial: string }[];
let records: readonly { sequence: number; job_id: string }[];
let last: number;

beforeAll(() => {
  buildEvidence(base, 4);
  copy = copyOf(base);
  const database = openSqlite(copy.file, { readonly: true });
  captures = database
    .prepare<[], (typeof captures)[number]>('SELECT sequence, job_id, serial FROM capture')
    .all();
  records = database.prepare<[], (typeof records)[number]>('SELECT sequence, job_id FROM record').all();
  last = database.prepare<[], number>('SELECT max(sequence) FROM event').pluck().get()!;
  database.close();
});
afterEach(() => copy.restore());
afterAll(() => {
  copy.remove();
  rmSync(base, { recursive: true, force: true });
});

function verdictAfter(change: (database: Database) => void) {
  copy.restore();
  tamper(copy.file, change);
  return verdictOn(copy.folder);
}

describe('verify names', () => {
  it('every event that was removed, by its place and its job', () => {
    const database = openSqlite(copy.file, { readonly: true });
    const streams = database.prepare<[], string>('SELECT stream FROM event ORDER BY sequence').pluck().all();
    database.close();
    for (let sequence = 1; sequence <= last; sequence++) {
      const { problems } = verdictAfter((opened) =>
        opened.prepare('DELETE FROM event WHERE sequence = ?').run(sequence),
      );
      const stream = streams[sequence - 1]!;
      const named = problems.filter((problem) => problem.kind === 'removed' || problem.kind === 'truncated');
      expect(
        named.map((problem) => problem.sequence),
        `event ${sequence}`,
      ).toContain(sequence);
      // The seal still tells the stream, except of a document that was put together with others.
      if (stream.startsWith('job/')) expect(named.map(({ jobId }) => jobId)).toContain(stream.slice(4));
    }
  });

  it('rows removed from every other evidence table', () => {
    const removals: [string, string][] = [
      ['seal', 'sequence'],
      ['record', 'sequence'],
      ['document', 'rowid'],
      ['job', 'sequence'],
      ['job_end', 'sequence'],
      ['capture', 'sequence'],
      ['consumption', 'sequence'],
    ];
    for (const [table, key] of removals) {
      const database = openSqlite(copy.file, { readonly: true });
      const keys = database.prepare<[], number>(`SELECT ${key} FROM ${table}`).pluck().all();
      database.close();
      for (const row of keys) {
        const verdict = verdictAfter((opened) =>
          opened.prepare(`DELETE FROM ${table} WHERE ${key} = ?`).run(row),
        );
        expect(verdict.problems.length, `${table} ${row}`).toBeGreaterThan(0);
        // A removed seal is noticed at the next one; a document is named by its hash.
        if (table === 'seal') expect(verdict.problems[0]!.sequence).toBeGreaterThanOrEqual(row);
        else if (table !== 'document')
          expect(verdict.problems.map(({ sequence }) => sequence)).toContain(row);
      }
    }
  });

  it('events that changed places', () => {
    for (let round = 0; round < 15; round++) {
      const one = 2 + Math.floor(chanceOf(round, 1) * (last - 2));
      const other = 2 + ((one + Math.floor(chanceOf(round, 2) * (last - 4))) % (last - 2));
      if (one === other) continue;
      const { problems } = verdictAfter((database) => {
        const move = database.prepare('UPDATE event SET sequence = ? WHERE sequence = ?');
        move.run(-1, one);
        move.run(one, other);
        move.run(other, -1);
      });
      const places = problems.filter(({ kind }) => kind === 'reordered').map(({ sequence }) => sequence);
      expect(places, `${one} and ${other}`).toEqual([Math.min(one, other), Math.max(one, other)]);
    }
  });

  it('contents of events that were swapped', () => {
    const [one, other] = [captures[0]!.sequence, captures[3]!.sequence];
    const { problems } = verdictAfter((database) => {
      const body = database.prepare<[number], string>('SELECT body FROM event WHERE sequence = ?').pluck();
      const [first, second] = [body.get(one)!, body.get(other)!];
      const write = database.prepare('UPDATE event SET body = ? WHERE sequence = ?');
      write.run(second, one);
      write.run(first, other);
    });
    const altered = problems.filter(({ kind }) => kind === 'altered');
    expect(altered.map(({ sequence }) => sequence)).toEqual([one, other]);
  });

  it('a decision forged with all hashes made again, in closed jobs by serial and job, in open ones by event', () => {
    for (const { sequence, job_id, serial } of captures) {
      const { problems } = verdictAfter((database) => {
        forgeDecision(database, sequence);
        rehashFrom(database, sequence);
      });
      expect(
        problems.find(({ kind }) => kind === 'rewritten'),
        job_id,
      ).toMatchObject({ jobId: job_id, serial, sequence });
      // Records behind it are untouched and not accused.
      const accused = problems
        .filter(({ kind }) => kind === 'record' || kind === 'judgement')
        .map(({ jobId }) => jobId);
      expect(new Set(accused)).toEqual(new Set([job_id]));
    }
  });

  it('a decision forged with only its own hash made again', () => {
    for (const { sequence, job_id } of captures.slice(0, 4)) {
      const { problems } = verdictAfter((database) => {
        forgeDecision(database, sequence);
        const hash = database.prepare('SELECT hash FROM event WHERE sequence = ?').pluck();
        const next = hash.get(sequence + 1);
        rehashFrom(database, sequence);
        // Everything behind it is put back.
        expect(hash.get(sequence + 1)).not.toEqual(next);
        database.exec(`ATTACH '${join(base, 'station.sqlite')}' AS old`);
        database.exec(
          `UPDATE event SET previous_hash = (SELECT previous_hash FROM old.event o WHERE o.sequence = event.sequence),
             hash = (SELECT hash FROM old.event o WHERE o.sequence = event.sequence) WHERE sequence > ${sequence}`,
        );
      });
      expect(problems.find(({ kind }) => kind === 'altered')).toMatchObject({ jobId: job_id, sequence });
    }
  });

  it('a record written anew, its hash too, and the chain behind it', () => {
    for (const { sequence, job_id } of records) {
      const { problems } = verdictAfter((database) => {
        forgeRecord(database, sequence);
        rehashFrom(database, sequence);
      });
      const record = problems.filter(({ kind }) => kind === 'record');
      expect(record.map(({ jobId }) => jobId)).toContain(job_id);
      expect(record.map(({ sentence }) => sentence).join()).toContain('signature');
    }
  });

  it('an event added at the end by another program', () => {
    const { problems } = verdictAfter((database) => {
      database.exec(
        `INSERT INTO event SELECT sequence + 1, stream, version + 1, kind, at, person_id, body, hash, hash FROM event
         ORDER BY sequence DESC LIMIT 1`,
      );
      rehashFrom(database, last + 1);
    });
    expect(problems.find(({ kind }) => kind === 'added')).toMatchObject({ sequence: last + 1 });
  });

  it('a tail that was cut off with everything that spoke of it', () => {
    for (const keep of [last - 1, last - 7, 12]) {
      const { problems } = verdictAfter((database) => {
        for (const table of ['capture', 'consumption', 'job_end', 'record', 'job', 'seal', 'event']) {
          database.prepare(`DELETE FROM ${table} WHERE sequence > ?`).run(keep);
        }
      });
      expect(problems.find(({ kind }) => kind === 'truncated')).toMatchObject({ sequence: keep + 1 });
    }
  });

  it('a missing head file, and one that somebody else wrote', () => {
    unlinkSync(join(copy.folder, headFileName));
    expect(verdictOn(copy.folder).problems).toMatchObject([{ kind: 'head' }]);
    writeFileSync(join(copy.folder, headFileName), '{"sequence":5}');
    expect(verdictOn(copy.folder).problems).toMatchObject([{ kind: 'head' }]);
  });

  it('guards that were taken away', () => {
    const { problems } = verdictAfter((database) => database.exec('CREATE TABLE extra (x)'));
    expect(problems[0]).toMatchObject({ kind: 'database', sentence: expect.stringContaining('"extra"') });
    copy.restore();
    const database = openSqlite(copy.file, {});
    database.exec('DROP TRIGGER event_keeps_values');
    database.close();
    expect(verdictOn(copy.folder).problems[0]!.sentence).toContain('event_keeps_values');
  });

  it('tables whose columns were renamed, also to whoever only reads', () => {
    const database = openSqlite(copy.file, {});
    database.exec('ALTER TABLE capture RENAME COLUMN step_id TO step_xd');
    database.exec('ALTER TABLE event RENAME COLUMN stream TO streak');
    database.close();
    const { problems } = verdictOn(copy.folder);
    expect(problems.at(-1)).toMatchObject({
      kind: 'database',
      sentence: expect.stringContaining('no such column'),
    });
    expect(() => openEvidence(copy.folder)).toThrow(StoreFault);
  });

  it('nothing in evidence that nobody touched, whatever was done in it', () => {
    expect(verdictOn(copy.folder)).toMatchObject({ intact: true, problems: [] });
  });
});
