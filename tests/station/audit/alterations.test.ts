import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chanceOf } from '../../../electron/station/audit/invented-job.ts';
import type { Problem } from '../../../electron/station/audit/problem.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import {
  alterByte,
  buildEvidence,
  type Copy,
  copyOf,
  evidenceIn,
  type Spot,
  spotsOf,
  verdictOn,
} from './tampering.ts';

/** `ALTERATIONS=10000 npx vitest run …` for the long run. */
const rounds = Number(process.env.ALTERATIONS ?? 300);
const timeout = 10_000 + rounds * 200;

const base = mkdtempSync(join(tmpdir(), 'bandwright-evidence-'));
let copy: Copy;

beforeAll(() => {
  buildEvidence(base, 2);
  copy = copyOf(base);
});
afterAll(() => {
  copy.remove();
  rmSync(base, { recursive: true, force: true });
});

/** A finding tells which row it is: by its place, its job, or the document's hash. */
function names(
  { row, jobId, hash, table, column }: Spot,
  { sequence, stream, kind, ...problem }: Problem,
): boolean {
  // Of a document that goes by another hash now, only the document of the old hash can be missed.
  if (table === 'document')
    return stream === `document/${hash}` || (column === 'hash' && kind === 'document');
  return sequence === row || (jobId !== null && problem.jobId === jobId);
}

describe('verify', () => {
  it('finds nothing wrong with evidence that nobody touched', () => {
    expect(verdictOn(base)).toMatchObject({ intact: true, problems: [], records: 2 });
  });

  it(`finds and names each of ${rounds} single bytes altered in evidence columns`, { timeout }, () => {
    const spots = spotsOf(copy.file);
    const reached = new Set(spots.map(({ table, column }) => `${table}.${column}`));
    expect(reached.size).toBeGreaterThan(35);
    const missed: unknown[] = [];
    for (let round = 0; round < rounds; round++) {
      let salt = 0;
      const pick = <Item>(list: readonly Item[]) => list[Math.floor(chanceOf(round, ++salt) * list.length)]!;
      // By column first, so that the many bytes of bodies do not crowd out the rest.
      const column = pick([...reached]);
      const spot = pick(spots.filter((one) => `${one.table}.${one.column}` === column));
      const at = pick(spot.places);
      const mask = 1 + Math.floor(chanceOf(round, ++salt) * 255);
      alterByte(copy.file, at, mask);
      const { intact, problems } = verdictOn(copy.folder);
      if (intact || !problems.some((problem) => names(spot, problem)))
        missed.push({ round, column, row: spot.row, problems });
      alterByte(copy.file, at, mask);
    }
    expect(missed).toEqual([]);
    expect(verdictOn(copy.folder).intact).toBe(true);
  });

  it('survives bytes altered anywhere in the file, and calls none intact that reads otherwise', {
    timeout,
  }, () => {
    const { size } = statSync(copy.file);
    const untouched = evidenceIn(join(base, databaseName));
    const wrong: unknown[] = [];
    let found = 0;
    for (let round = 0; round < rounds / 2; round++) {
      const at = Math.floor(chanceOf(round, 77) * size);
      alterByte(copy.file, at, 1 + Math.floor(chanceOf(round, 78) * 255));
      try {
        if (!verdictOn(copy.folder).intact) found++;
        else if (evidenceIn(copy.file) !== untouched) wrong.push({ round, at });
      } catch (error) {
        // Bytes of the header can make it another program's file or one of a newer version: said in words.
        expect(error).toMatchObject({ name: 'StoreFault' });
        found++;
      }
      copy.restore();
    }
    expect(wrong).toEqual([]);
    expect(found).toBeGreaterThan(0);
  });
});
