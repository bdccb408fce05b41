import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { runDocument } from '../../../electron/station/documents/document-run.ts';
import { makeDocument, makeSerialDocument } from '../../../electron/station/documents/make-document.ts';
import { sha256 } from '../../../electron/station/store/sha256.ts';
import type { Store } from '../../../electron/station/store/store.ts';
import type { LotEvent } from '../../../shared/consumable/lot.ts';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { PersonEvent } from '../../../shared/people/person.ts';
import { appendJobEvents, openTestStore, temporaryFolder } from '../store/bench.ts';
import { cleanJob, inventedSheet, jobEvents, troubledJob } from './invented-service.ts';
import { layoutFaults, readPdf } from './read-pdf.ts';

const serial = 'INV-7-000123';
const commandLine = join(import.meta.dirname, '../../../electron/station/command-line.ts');

/** A real store with three visits of one serial, one of another, and the people and lots they name. */
function filledStore(folder: string): Store {
  const store = openTestStore(folder);
  const sheetHash = store.putDocument('sheet', JSON.parse(JSON.stringify(inventedSheet)));
  const at = '2026-01-05T08:00:00+01:00';
  const append = (stream: string, event: PersonEvent | LotEvent) =>
    store.append({
      stream,
      expectedVersion: store.versionOf(stream),
      personId: null,
      events: [{ kind: event.kind, body: { ...event } as JsonObject }],
    });
  for (const [personId, name] of [
    ['person-1', 'Ida Invented'],
    ['person-2', 'Otto Lead-Invented'],
  ] as const) {
    append(`person/${personId}`, {
      kind: 'personAdded',
      ...{ personId, at, byPersonId: 'admin', name, roles: ['technician'], invented: true },
    });
  }
  append('lot/LOT-G2-0815', {
    kind: 'lotReceived',
    ...{
      lotId: 'LOT-G2-0815',
      at,
      personId: 'person-2',
      consumableId: 'invented-grease-2',
      expiry: '2027-06-30',
    },
    ...{
      name: { en: 'Grease', de: 'Fett' },
      quantity: 400,
      unit: 'g',
      usableDaysAfterOpening: null,
      invented: true,
    },
  });
  appendJobEvents(store, jobEvents({ jobId: 'visit-1', serial, sheetHash }, cleanJob));
  appendJobEvents(store, jobEvents({ jobId: 'visit-2', serial, sheetHash, startMinutes: 3000 }, troubledJob));
  appendJobEvents(
    store,
    jobEvents({ jobId: 'visit-3', serial, sheetHash, startMinutes: 9000 }, cleanJob.slice(0, 6)),
  );
  appendJobEvents(store, jobEvents({ jobId: 'other', serial: 'INV-7-999', sheetHash }, cleanJob));
  return store;
}

/** Runs the command line as its own process, in another time zone and language. */
async function run(
  folder: string,
  ...words: string[]
): Promise<{ code: number; out: string; error: string }> {
  const environment = { ...process.env, TZ: 'Pacific/Auckland', LANG: 'de_DE.UTF-8', LC_ALL: 'de_DE.UTF-8' };
  try {
    const { stdout, stderr } = await promisify(execFile)(
      process.execPath,
      [commandLine, 'document', ...words, '--data', folder],
      { env: environment, cwd: folder },
    );
    return { code: 0, out: stdout, error: stderr };
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
    return { code, out: stdout, error: stderr };
  }
}

test('command line and screen give the same bytes, while the station holds the database', async () => {
  const folder = temporaryFolder();
  const store = filledStore(folder);
  const forScreen = await makeDocument(store, 'visit-2', 'record', { language: 'de', paper: 'letter' });
  const { code, out } = await run(
    folder,
    'visit-2',
    '--language',
    'de',
    '--paper',
    'letter',
    '--out',
    'r.pdf',
    '--json',
  );
  expect(code).toBe(0);
  const written = readFileSync(join(folder, 'r.pdf'));
  expect(Buffer.compare(written, forScreen!)).toBe(0);
  expect(JSON.parse(out)).toEqual({
    ...{ file: join(folder, 'r.pdf'), kind: 'record', serial, jobs: ['visit-2'] },
    ...{ bytes: written.length, sha256: sha256(written) },
  });
});

test('a printed record names people, units and the hash of the signed record', async () => {
  const store = filledStore(temporaryFolder());
  const { text } = await readPdf((await makeDocument(store, 'visit-2', 'record'))!);
  const stored = store.recordOf('visit-2')!;
  // Signed at the release and again at the amendment.
  expect(stored.revision).toBe(2);
  expect(text).toContain(stored.record.hash);
  expect(text).toContain('revision 2, covers events 0 to 32');
  expect(text).toContain('Otto Lead-Invented (person-2)');
  expect(text).toContain('12.5 g');
  expect(text).not.toContain('Later than the signed record');
});

test('the documents of a serial hold every visit, also the one still at the bench', async () => {
  const folder = temporaryFolder();
  const store = filledStore(folder);
  const { code, out } = await run(folder, serial);
  expect([code, out.trim()]).toEqual([0, join(folder, `service-history-${serial}.pdf`)]);
  const written = readFileSync(out.trim());
  expect(Buffer.compare(written, (await makeSerialDocument(store, serial))!)).toBe(0);
  const pdf = await readPdf(written);
  expect(pdf.bookmarks).toHaveLength(4);
  for (const part of ['visit-1', 'visit-2', 'visit-3', 'NOT CLOSED']) expect(pdf.text).toContain(part);
  expect(pdf.text).not.toContain('INV-7-999');
  expect(layoutFaults(pdf)).toEqual([]);
});

test('documents made beside the bench, in a worker, are the same to the byte', async () => {
  const folder = temporaryFolder();
  const store = filledStore(folder);
  const record = await runDocument(folder, { kind: 'record', jobId: 'visit-1', language: 'de' });
  expect(Buffer.compare(record!, (await makeDocument(store, 'visit-1', 'record', { language: 'de' }))!)).toBe(
    0,
  );
  const label = await runDocument(folder, { kind: 'label', jobId: 'visit-1' });
  expect(Buffer.compare(label!, (await makeDocument(store, 'visit-1', 'label'))!)).toBe(0);
  expect(await runDocument(folder, { kind: 'history', serial: 'nobody' })).toBeUndefined();
  await expect(runDocument(temporaryFolder(), { kind: 'history', serial })).rejects.toMatchObject({
    name: 'StoreFault',
    code: 'no_database',
  });
});

test('a label is made for a job and for the newest visit of a serial', async () => {
  const folder = temporaryFolder();
  const store = filledStore(folder);
  const { out } = await run(folder, serial, '--label');
  expect(out.trim()).toBe(join(folder, `tag-${serial}-visit-3.pdf`));
  expect(Buffer.compare(readFileSync(out.trim()), (await makeDocument(store, 'visit-3', 'label'))!)).toBe(0);
});

test('what is not there is refused in one line with exit 2', async () => {
  const folder = temporaryFolder();
  const store = filledStore(folder);
  expect(await makeDocument(store, 'nobody', 'record')).toBeUndefined();
  expect(await makeSerialDocument(store, 'nobody')).toBeUndefined();
  const cases: readonly (readonly [string[], RegExp])[] = [
    [['nobody'], /^nobody: is no serial or job/],
    [[], /^document: give one serial or one job/],
    [[serial, '--language', 'fr'], /^--language: "fr" is not known; choose one of en, de/],
    [[serial, '--out', 'no/such/folder.pdf'], /^--out: .*cannot be written \(ENOENT\)/],
  ];
  for (const [words, sentence] of cases) {
    const { code, out, error } = await run(folder, ...words);
    expect([code, out, error.trim().split('\n').length]).toEqual([2, '', 1]);
    expect(error).toMatch(sentence);
  }
  const empty = await run(temporaryFolder(), serial);
  expect([empty.code, empty.error]).toEqual([2, expect.stringMatching(/^--data: no database/)]);
});
