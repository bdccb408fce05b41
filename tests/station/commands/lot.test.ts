import { expect, it } from 'vitest';
import { lotCommand } from '../../../electron/station/commands/lot.ts';
import { openTestStore, temporaryFolder, writeInventedJobsAtOnce } from '../store/bench.ts';
import { call } from './calling.ts';

const envelope = { lotId: 'lot-1', at: '2026-03-01T08:00:00Z', personId: 'person-1' };

function stockedFolder(jobs: number): { folder: string; jobIds: string[] } {
  const folder = temporaryFolder();
  const store = openTestStore(folder);
  const jobIds = writeInventedJobsAtOnce(store, jobs);
  const person = { personId: 'person-1', at: envelope.at, byPersonId: 'person-1' };
  store.append({
    stream: 'person/person-1',
    expectedVersion: 0,
    personId: null,
    events: [
      {
        kind: 'personAdded',
        body: { kind: 'personAdded', ...person, name: 'Person One', roles: ['technician'], invented: true },
      },
    ],
  });
  const received = {
    kind: 'lotReceived',
    ...envelope,
    consumableId: 'grease',
    name: { en: 'Invented grease', de: 'Erfundenes Fett' },
    expiry: '2027-12-31',
    quantity: 1000,
    unit: 'g',
    usableDaysAfterOpening: null,
    invented: true,
  };
  const used = {
    kind: 'lotUsed',
    ...envelope,
    at: '2026-03-02T09:00:00Z',
    jobId: jobIds[0] ?? '',
    stepId: 'fill',
    quantity: 25,
  };
  store.append({
    stream: 'lot/lot-1',
    expectedVersion: 0,
    personId: 'person-1',
    events: [received, used].map((event) => ({ kind: event.kind, body: event })),
  });
  return { folder, jobIds };
}

it('traces a lot to every job that used it, oldest first', async () => {
  const { folder, jobIds } = stockedFolder(520);
  const { code, out } = await call(lotCommand, '', ['lot-1'], { json: true, data: folder });
  expect(code).toBe(0);
  const { lot, jobs } = JSON.parse(out);
  // Invented jobs 1 to 499 name lot-1, from 500 on lot-2.
  expect(jobs.map(({ jobId }: { jobId: string }) => jobId)).toEqual(jobIds.slice(0, 499));
  expect(lot).toMatchObject({ lotId: 'lot-1', remaining: 975, unit: 'g', expiry: '2027-12-31' });
  expect(jobs[0]).toMatchObject({
    phase: 'released',
    uses: [
      {
        stepId: 'fill',
        quantity: 25,
        personId: 'person-1',
        person: 'Person One',
        at: '2026-03-02T09:00:00Z',
      },
    ],
  });
});

it('finds the jobs of a lot that was never received, and prints for people', async () => {
  const { folder, jobIds } = stockedFolder(501);
  const unknown = await call(lotCommand, '', ['lot-2'], { json: true, data: folder });
  expect(JSON.parse(unknown.out)).toMatchObject({
    lot: null,
    jobs: [{ jobId: jobIds[499] }, { jobId: jobIds[500] }],
  });
  const { out } = await call(lotCommand, '', ['lot-1'], { data: folder });
  expect(out).toContain('left 975 g');
  expect(out).toContain('fill  25 g  Person One');
});

it.each([
  [[], /^LOT-ID: missing/],
  [['lot-1', 'lot-2'], /one at a time/],
  [['a lot'], /"a lot" is none/],
  [['lot-9'], /"lot-9" was never here/],
])('refuses %j in one line, exit 2', async (words, sentence) => {
  const { folder } = stockedFolder(1);
  const result = await call(lotCommand, '', words, { json: true, data: folder });
  expect(result).toMatchObject({ code: 2, out: '', error: expect.stringMatching(sentence) });
});
