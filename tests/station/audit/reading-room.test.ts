import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { inventedJob, inventedSerial } from '../../../electron/station/audit/invented-job.ts';
import { createJobSearch } from '../../../electron/station/audit/job-search.ts';
import { createReadingRoom, type ReadingRoom } from '../../../electron/station/audit/reading-room.ts';
import { databaseName, openDatabaseToRead } from '../../../electron/station/store/database.ts';
import { createEvidenceReader } from '../../../electron/station/store/evidence-reader.ts';
import type { CaptureFilter } from '../../../electron/station/store/filters.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import type { Database } from '../../../electron/station/store/sqlite.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import {
  appendJobEvents,
  openTestStore,
  temporaryFolder,
  tickingClock,
  writeInventedJobs,
} from '../store/bench.ts';
import { buildEvidence, copyOf, tamper } from './tampering.ts';

const jobs = 40;
const folder = mkdtempSync(join(tmpdir(), 'bandwright-reading-'));
let room: ReadingRoom;
let database: Database;

/** Invented jobs with a few that fail, some of another lot, one void, one at the bench. */
function eventsOf(number: number, documents: Parameters<typeof inventedJob>[2]): JobEvent[] {
  const events = inventedJob(number, Date.UTC(2026, 2, 2) + number * 3_600_000, documents);
  return events.map((event): JobEvent => {
    if (event.kind === 'consumableUsed') return { ...event, lotId: `lot-${number % 3}` };
    if (event.kind !== 'measurementCaptured' || number % 7 !== 0) return event;
    const { capture } = event;
    const judgement = { ...capture.judgement, decision: 'fail' as const };
    return capture.quantity === 'torque' ? { ...event, capture: { ...capture, judgement } } : event;
  });
}

const ofLot = { lotId: 'lot-1', at: '2026-03-01T08:00:00.000+01:00', personId: 'person-1' };
const received = {
  kind: 'lotReceived',
  ...ofLot,
  consumableId: 'grease',
  name: { en: 'Invented grease', de: 'Erfundenes Fett' },
  expiry: null,
  quantity: 400,
  unit: 'g',
  usableDaysAfterOpening: null,
  invented: true,
};

function used(number: number, stepId: string) {
  const jobId = `invented-${String(number).padStart(8, '0')}`;
  return { kind: 'lotUsed', ...ofLot, jobId, stepId, quantity: 9.5 };
}

beforeAll(() => {
  const store = openStore({ folder, clock: tickingClock(), createId: () => 'station', rules: jobEvidence });
  const documents = putInventedDocuments(store);
  for (let number = 1; number <= jobs; number++) {
    const events = eventsOf(number, documents);
    appendJobEvents(store, number === jobs ? events.slice(0, 5) : events);
    if (number !== 5) continue;
    const { jobId, at, personId } = events[0]!;
    appendJobEvents(store, [
      { kind: 'jobVoided', jobId, at, personId, reason: 'wrong head', secondPersonId: 'person-9' },
    ]);
  }
  store.append({
    stream: 'lot/lot-1',
    expectedVersion: 0,
    personId: 'person-1',
    events: [received, ...[used(1, 'fill'), used(4, 'grease')]].map((body) => ({ kind: body.kind, body })),
  });
  store.close();
  room = createReadingRoom(folder);
  database = openDatabaseToRead(folder);
});

afterAll(async () => {
  database.close();
  await room.close();
  rmSync(folder, { recursive: true, force: true });
});

async function found(filter: object): Promise<readonly { jobId: string }[]> {
  const page = await room.ask('searchJobs', { filter, before: null });
  if (!page.ok) throw new Error(page.error.message);
  return page.value.jobs;
}

describe('the uses of a lot', () => {
  it('are told newest first, with the serial and the step as the sheet of the job names it', async () => {
    expect(await room.ask('lotUses', { lotId: 'lot-1' })).toMatchObject({
      ok: true,
      value: {
        uses: [
          { serial: inventedSerial(4), stepTitle: { de: 'Charge des Fetts' }, by: { personId: 'person-1' } },
          { serial: inventedSerial(1), stepTitle: { en: 'Fill the outer recess' }, quantity: 9.5 },
        ],
      },
    });
    expect(await room.ask('lotUses', { lotId: 'lot-9' })).toEqual({ ok: true, value: { uses: [] } });
  });
});

describe('a search across records', () => {
  it('finds the newest jobs first, with what was read in each', async () => {
    const page = await room.ask('searchJobs', { filter: {}, before: null });
    if (!page.ok) throw new Error(page.error.message);
    expect(page.value.jobs.map(({ jobId }) => jobId)).toEqual(
      Array.from({ length: jobs }, (_, index) => `invented-${String(jobs - index).padStart(8, '0')}`),
    );
    expect(page.value.before).toBeNull();
    expect(page.value.jobs[0]).toMatchObject({ phase: 'open', readings: [{ quantity: 'mass' }] });
    expect(page.value.jobs[1]!.readings).toMatchObject([
      {
        quantity: 'mass',
        stepTitle: { de: 'Äußere Kammer füllen' },
        measured: { unit: 'g', decision: 'pass' },
      },
      { quantity: 'torque', measured: { unit: 'N.m' } },
    ]);
  });

  it('goes from a lot, an instrument or a certificate to every job', async () => {
    expect(await found({ lotId: 'lot-0' })).toHaveLength(13);
    expect(await found({ instrumentId: 'wrench-1' })).toHaveLength(jobs - 1);
    expect(await found({ certificate: 'INV-scale-1' })).toHaveLength(jobs);
    expect(await found({ instrumentId: 'no-such-wrench' })).toEqual([]);
  });

  it('says so where no certificate has that number', async () => {
    const page = await room.ask('searchJobs', { filter: { certificate: 'INV-none' }, before: null });
    expect(page).toMatchObject({ ok: false, error: { code: 'certificate_unknown', field: 'certificate' } });
  });

  it('asks decision, quantity and instrument of one and the same reading', async () => {
    expect(await found({ decision: 'fail' })).toHaveLength(5);
    expect(await found({ decision: 'fail', quantity: 'torque', instrumentId: 'wrench-1' })).toHaveLength(5);
    // The scale was used in the same jobs, but its readings passed.
    expect(await found({ decision: 'fail', instrumentId: 'scale-1' })).toEqual([]);
  });

  it('takes whole days of the workshop, the last one included', async () => {
    const day = new Date(Date.UTC(2026, 2, 2) + 30 * 3_600_000);
    const name = `${day.getFullYear()}-${String(day.getMonth() + 1).padStart(2, '0')}-${String(day.getDate()).padStart(2, '0')}`;
    const ofDay = await found({ from: name, until: name });
    expect(ofDay.map(({ jobId }) => jobId)).toContain('invented-00000030');
    expect(ofDay.length).toBeLessThanOrEqual(24);
    expect(await found({ from: '2027-01-01' })).toEqual([]);
  });

  it('offers what there is to choose from', async () => {
    const choices = await room.ask('searchChoices', {});
    expect(choices).toMatchObject({
      ok: true,
      value: {
        lots: ['lot-0', 'lot-1', 'lot-2'],
        instruments: [{ instrumentId: 'scale-1' }, { instrumentId: 'wrench-1' }],
      },
    });
  });

  it('finds the same as a look at every job, in pages without a gap or a repetition, whatever is asked', () => {
    const reader = createEvidenceReader(database);
    const search = createJobSearch(database);
    const all = reader.findJobs({}, 0, 1000);
    const captures = reader.findCaptures({}, 0, 1000);
    const lots = database
      .prepare<[], { jobId: string; lotId: string }>(
        'SELECT job_id AS "jobId", lot_id AS "lotId" FROM consumption',
      )
      .all();
    const isAsked = (filter: CaptureFilter, job: (typeof all)[number]) => {
      const own = captures.filter(({ jobId }) => jobId === job.jobId);
      const { instrumentId, decision, quantity, personId } = filter;
      const asksReading = [instrumentId, decision, quantity].some((value) => value !== undefined);
      return (
        (filter.serial ?? job.serial) === job.serial &&
        (filter.headId ?? job.headId) === job.headId &&
        (personId === undefined ||
          job.personId === personId ||
          own.some((one) => one.personId === personId)) &&
        (filter.lotId === undefined ||
          lots.some(({ jobId, lotId }) => jobId === job.jobId && lotId === filter.lotId)) &&
        (filter.from ?? job.openedAt) <= job.openedAt &&
        (filter.until === undefined || job.openedAt < filter.until) &&
        (!asksReading ||
          own.some(
            (one) =>
              (instrumentId ?? one.instrumentId) === one.instrumentId &&
              (decision ?? one.decision) === one.decision &&
              (quantity ?? one.quantity) === one.quantity,
          ))
      );
    };
    const one = <Value>(...values: Value[]) => fc.option(fc.constantFrom(...values), { nil: undefined });
    const hour = (number: number) => new Date(Date.UTC(2026, 2, 2) + number * 3_600_000).toISOString();
    fc.assert(
      fc.property(
        fc.record({
          serial: one('INV-0000004', 'INV-0000009'),
          headId: one('invented-head-1', 'invented-head-2', 'none'),
          personId: one('person-1', 'person-3', 'nobody'),
          instrumentId: one('scale-1', 'wrench-1', 'none'),
          decision: one('pass', 'fail', 'conditional pass'),
          quantity: one('mass', 'torque'),
          lotId: one('lot-0', 'lot-2', 'none'),
          from: one(hour(10), hour(25.5)),
          until: one(hour(12), hour(33)),
        }),
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 1, max: 300 }),
        (filter, jobsOnPage, firstStretch) => {
          let now = 0;
          const limits = { jobs: jobsOnPage, milliseconds: 2, now: () => now++, firstStretch };
          const hits: string[] = [];
          for (let before: number | null = null, pages = 0; ; pages++) {
            expect(pages).toBeLessThan(100);
            const page = search(filter, before, limits);
            hits.push(...page.jobIds);
            before = page.before;
            if (before === null) break;
          }
          expect(hits.toSorted()).toEqual(
            all
              .filter((job) => isAsked(filter, job))
              .map(({ jobId }) => jobId)
              .toSorted(),
          );
        },
      ),
      { numRuns: 150 },
    );
  });
});

describe('a control chart across records', () => {
  it('takes the last reading of each step, oldest first, and leaves out what is void', async () => {
    const chart = await room.ask('processChart', {
      filter: { quantity: 'torque', headId: 'invented-head-1' },
    });
    if (!chart.ok) throw new Error(chart.error.message);
    const { points, study, omitted, cut } = chart.value;
    const reader = createEvidenceReader(database);
    const expected = reader
      .findCaptures({ quantity: 'torque', headId: 'invented-head-1' }, 0, 1000)
      .filter(({ jobId }) => jobId !== 'invented-00000005');
    expect(points.map(({ captureId }) => captureId)).toEqual(expected.map(({ captureId }) => captureId));
    expect(study).toMatchObject({
      basis: 'value',
      unit: 'N.m',
      specification: { lower: 25.92, upper: 28.08 },
    });
    expect(study.values).toHaveLength(points.length);
    expect([omitted, cut]).toEqual([0, false]);
  });

  it('takes no more than the newest that are asked for, by person, instrument, lot or time', async () => {
    const asked = async (filter: object, last: number) => {
      const chart = await room.ask('processChart', {
        filter: { quantity: 'mass' as const, ...filter },
        last,
      });
      if (!chart.ok) throw new Error(chart.error.message);
      return chart.value;
    };
    const newest = await asked({}, 5);
    expect(newest.cut).toBe(true);
    expect(newest.points.map(({ captureId }) => captureId)).toEqual(
      [36, 37, 38, 39, 40].map((number) => `invented-${String(number).padStart(8, '0')}-fill`),
    );
    const ofPerson = await asked({ personId: 'person-2' }, 100);
    expect(new Set(ofPerson.points.map(({ person }) => person))).toEqual(new Set(['person-2']));
    expect((await asked({ instrumentId: 'wrench-1' }, 100)).points).toEqual([]);
    expect((await asked({ lotId: 'lot-1' }, 100)).points.length).toBe(14);
    const early = await asked({ until: new Date(Date.UTC(2026, 2, 2, 8)).toISOString() }, 100);
    expect(early.points.length).toBe(6);
  });

  it('leaves out a reading that was altered, and says how many', async () => {
    const base = temporaryFolder();
    buildEvidence(base, 4);
    const copy = copyOf(base);
    tamper(copy.file, (opened) =>
      opened.exec(
        `UPDATE event SET body = replace(body, '"quantity":"torque"', '"quantity":"torqve"')
         WHERE sequence = (SELECT min(sequence) FROM capture WHERE quantity = 'torque')`,
      ),
    );
    const other = createReadingRoom(copy.folder);
    const chart = await other.ask('processChart', { filter: { quantity: 'torque' } });
    const page = await other.ask('searchJobs', { filter: {}, before: null });
    await other.close();
    copy.remove();
    expect(chart).toMatchObject({ ok: true, value: { omitted: 1 } });
    if (chart.ok) expect(chart.value.points).toHaveLength(3);
    const readings = page.ok ? page.value.jobs.flatMap((job) => job.readings) : [];
    expect(readings.filter(({ measured }) => measured === null)).toHaveLength(1);
  });
});

describe('the thread in which auditors read', () => {
  it('sees at once what the station writes meanwhile: jobs, and names of people', async () => {
    const own = temporaryFolder();
    const store = openTestStore(own);
    writeInventedJobs(store, 1);
    const other = createReadingRoom(own);
    const person = async () => {
      const page = await other.ask('searchJobs', { filter: {}, before: null });
      return page.ok ? page.value.jobs.map((job) => job.person) : [];
    };
    const [id] = await person();
    expect(id).toMatch(/^person-\d$/);
    const added = { personId: id!, at: '2026-03-02T08:00:00Z', byPersonId: id!, name: 'Person of the test' };
    store.append({
      stream: `person/${id}`,
      expectedVersion: 0,
      personId: null,
      events: [
        {
          kind: 'personAdded',
          body: { kind: 'personAdded', ...added, roles: ['technician'], invented: true },
        },
      ],
    });
    expect(await person()).toEqual(['Person of the test']);
    writeInventedJobs(store, 1, 2);
    expect(await person()).toHaveLength(2);
    await other.close();
  });

  it('answers in words where there is no database, and works on when there is one', async () => {
    const empty = temporaryFolder();
    const other = createReadingRoom(empty);
    await expect(other.ask('searchChoices', {})).rejects.toMatchObject({
      name: 'StoreFault',
      code: 'no_database',
    });
    writeFileSync(
      join(empty, databaseName),
      'this is no database, but long enough to look like one'.repeat(99),
    );
    await expect(other.ask('searchChoices', {})).rejects.toMatchObject({ name: 'StoreFault' });
    rmSync(join(empty, databaseName));
    buildEvidence(empty, 1);
    expect(await other.ask('findSerials', { text: '' })).toMatchObject({ ok: true });
    await other.close();
    // The next question opens it again.
    expect(await other.ask('hasSerial', { serial: 'none' })).toEqual({ ok: true, value: false });
    await other.close();
  });

  it('answers several questions at once, each its own', async () => {
    const answers = await Promise.all(
      Array.from({ length: 30 }, (_, index) => room.ask('findSerials', { text: `INV-000000${index % 10}` })),
    );
    answers.forEach((answer, index) => {
      const serials = answer.ok ? answer.value.serials.map(({ serial }) => serial) : ['?'];
      for (const serial of serials) expect(serial.startsWith(`INV-000000${index % 10}`)).toBe(true);
    });
  });
});
