import { expect, it } from 'vitest';
import { borrowDatabase } from '../../electron/station/site/branch-database.ts';

const job = {
  ...{ job_id: 'job-1', serial: 'SLT-1', head_id: 'head-1', person_id: null },
  ...{ opened_at: '2026-03-02T08:00:00.000Z', sequence: 1 },
};

it('a database that was given back answers nobody, and is empty for the next question', () => {
  const first = borrowDatabase();
  first.put('job', [job]);
  expect(first.reader.openedOfSerial('SLT-1').map(({ jobId }) => jobId)).toEqual(['job-1']);
  const { database } = first;
  first.giveBack();
  expect(() => first.reader.openedOfSerial('SLT-1')).toThrow(TypeError);
  const next = borrowDatabase();
  expect(next.database).toBe(database);
  expect(next.reader.openedOfSerial('SLT-1')).toEqual([]);
  next.put('job', [job]);
  expect(next.reader.openedOfSerial('SLT-1').length).toBe(1);
  next.giveBack();
});

it('two questions at once have a database each', () => {
  const [one, other] = [borrowDatabase(), borrowDatabase()];
  one.put('job', [job]);
  expect(other.reader.openedOfSerial('SLT-1')).toEqual([]);
  one.giveBack();
  other.giveBack();
});

it('a database that had to grow far is closed, so that a desk does not keep the memory', () => {
  const large = borrowDatabase();
  const body = 'x'.repeat(1_000_000);
  large.put(
    'document',
    Array.from({ length: 5 }, (_, index) => ({ hash: new Uint8Array(32).fill(index), kind: 'sheet', body })),
  );
  large.giveBack();
  expect(large.database.open).toBe(false);
});
