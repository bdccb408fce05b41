import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { type DocumentFonts, standardFonts } from '../../../electron/station/documents/document-fonts.ts';
import { serialHistory, serviceRecord } from '../../../electron/station/documents/service-record.ts';
import { drawDocument, type Paper } from '../../../electron/station/documents/service-record-pdf.ts';
import type { ServiceRecordSource } from '../../../electron/station/documents/service-record-source.ts';
import type { DocumentLanguage } from '../../../electron/station/documents/wording/wording.ts';
import {
  cleanJob,
  type EventWish,
  inventedSheet,
  jobEvents,
  simulatedWrench,
  sourceOf,
  troubledJob,
} from './invented-service.ts';
import { layoutFaults, plain, type ReadPdf, readPdf } from './read-pdf.ts';

const fontFile = (name: string) =>
  readFileSync(
    fileURLToPath(new URL(`../../../node_modules/pdfjs-dist/standard_fonts/${name}`, import.meta.url)),
  );
/** Font files that the test reader brings along: to see that embedding works whatever font is installed. */
const embeddedFonts: DocumentFonts = {
  kind: 'embedded',
  regular: fontFile('LiberationSans-Regular.ttf'),
  bold: fontFile('LiberationSans-Bold.ttf'),
};

interface Drawing {
  readonly language?: DocumentLanguage;
  readonly paper?: Paper;
  readonly fonts?: DocumentFonts;
}

function draw(source: ServiceRecordSource, drawing: Drawing = {}): Promise<Uint8Array> {
  const { language = 'en', paper = 'a4', fonts = standardFonts } = drawing;
  return drawDocument(serviceRecord(source, language), { paper, fonts });
}

const readAlready = new Map<ServiceRecordSource, Promise<ReadPdf>>();

/** Draws and reads back; what was read as it usually is drawn is not drawn again. */
async function read(source: ServiceRecordSource, drawing?: Drawing): Promise<ReadPdf> {
  if (drawing !== undefined) return readPdf(await draw(source, drawing));
  const pdf = readAlready.get(source) ?? draw(source).then(readPdf);
  readAlready.set(source, pdf);
  return pdf;
}

const clean = sourceOf(
  jobEvents({ customerReference: 'PO-77', reportedFault: 'Runs hot and rattles.' }, cleanJob),
);
const troubled = sourceOf(jobEvents({ jobId: 'job-0002' }, troubledJob));

/** Every one of these texts stands in the document. */
function expectAll(text: string, parts: readonly string[]): void {
  expect(parts.filter((part) => !text.includes(plain(part)))).toEqual([]);
}

test('the record says what was done, measured, with what and by whom', async () => {
  const { text } = await read(clean);
  expectAll(text, [
    'Service record',
    'INV-7-000123',
    'RELEASED',
    'Right-angle head, invented size 7 (invented-head-7)',
    'PO-77',
    'Runs hot and rattles.',
    'Invented Workshop Nine',
    '2026-11-25 09:00:11 +01:00, Ida Invented',
    '2026-11-25 09:16:11 +01:00, Ida Invented',
    'Next service due 2027-11-25',
    'Cautions acknowledged: stored energy, compressed air',
    'Disconnect and bleed the tool.',
    'A dent of 2 mm near the port, no crack.',
    'Gear set: replace',
    'INV-PART-55',
    'LOT-G2-0815',
    '2027-06-30',
    // The mass: as shown, tare, judged value, limits, zone, rule with its source.
    'Instrument showed 73.92 g, stable',
    'Tare 61.40 g',
    '12.520 g',
    '± 0.060 g (k = 2)',
    '12.000 g to 13.000 g, target 12.500 g',
    '12.060 g to 12.940 g, margin 0.420 g',
    'Conformance > 99.99 %',
    'guard band w = 1 · U = 0.060 g. Source: ILAC-G8:09/2019',
    'Attempt 1 of 3, final',
    'INV-M-4711, due 2027-03-31',
    // The torque, shown in the unit of the wrench and judged in that of the sheet: 19.9 lbf·ft is 26.98 N·m.
    'Instrument showed 19.9 lbf·ft, peak',
    '26.9808 N·m',
    '19.9 lbf·ft, 41.5° (judged)',
    'Temperature after five minutes: 41.5 °C',
    'up to 60 °C',
    'Signed off, PIN entered again: Ida Invented (person-1)',
    'The work was done as described.',
    clean.proof!.hash,
    clean.proof!.keyId,
    clean.proof!.signature.slice(0, 20),
    'revision 1, covers events 0 to 16',
    "The tool maker's instructions, local codes and licensed practice prevail",
  ]);
  expect(text).not.toContain('SIMULATED');
});

test('failed attempts, concession, reopening, hand-over and amendment stay visible', async () => {
  const { text } = await read(troubled);
  expectAll(text, [
    'RELEASED WITH CONCESSION',
    // Overfill: 13.41 g fails, 12.98 g is conditional, then passes; reopened by the lead, passes again.
    '13.410 g',
    'fail',
    '12.980 g',
    'conditional pass',
    'Attempt 1 of 3, not the final one',
    'Attempt 2 of 3, not the final one',
    'Attempts count from one again',
    'Grease had run into the pocket; cleaned and filled again.',
    'Reopened together with step 8 Fill the outer recess',
    'Attempt 1 of 3, final',
    // The pulls: 12.1 lbf·ft is 16.41 N·m, 20.8 is 28.20, 19.2 is 26.03.
    '16.41 N·m',
    '28.20 N·m',
    'conditional fail',
    '26.03 N·m',
    'Concession granted by a lead: Otto Lead-Invented (person-2)',
    'Wrench at the end of its range; ring seated to the stop.',
    'Back for a check within 30 days.',
    'calibration overdue',
    'Certificate on its way, checked against the reference.',
    'Put on hold',
    'End of the shift.',
    'Handed over to',
    'Customer asked for the old parts.',
    'Amendment of no. 6',
    'The new gear set is INV-PART-56.',
    'Amended, see no. 32',
  ]);
});

test('every event of the job stands in the record with its time', async () => {
  for (const source of [clean, troubled]) {
    const { text } = await read(source);
    const times = source.events.map(({ event }) => event.at.slice(0, 19).replace('T', ' '));
    expectAll(text, times);
  }
});

test('in German, texts, decimal commas and days are German', async () => {
  const { text } = await read(troubled, { language: 'de' });
  expectAll(text, [
    'Serviceprotokoll',
    'FREIGEGEBEN MIT SONDERFREIGABE',
    'Winkelkopf, erfundene Größe 7',
    '13,410 g',
    'bedingt nicht bestanden',
    'Sicherheitsabstand w = 1 · U = 0,30 N·m',
    'fällig 31.03.2027',
    '25.11.2026 09:00:11 +01:00',
    'Die Anweisungen des Werkzeugherstellers, örtliche Vorschriften',
    'Seite 1 von',
  ]);
});

test('a simulated bench or instrument is marked across every page, a real one nowhere', async () => {
  const simulated = sourceOf(jobEvents({ simulated: true }, troubledJob));
  const oneInstrument = sourceOf(
    jobEvents({}, [...cleanJob.slice(0, 12), simulatedWrench, ...cleanJob.slice(13)]),
  );
  for (const source of [simulated, oneInstrument]) {
    const { pages } = await read(source);
    expect(pages.length).toBeGreaterThan(2);
    expect(
      pages.every(({ pieces }) => pieces.some(({ text, isUpright }) => text === 'SIMULATED' && !isUpright)),
    ).toBe(true);
  }
  const real = await read(troubled);
  expect(real.pages.every(({ pieces }) => pieces.every(({ isUpright }) => isUpright))).toBe(true);
});

test('a job that is void, abandoned or still open says so on every page', async () => {
  const voided: EventWish = {
    kind: 'jobVoided',
    reason: 'Serial of another head was scanned.',
    secondPersonId: 'person-2',
  };
  const cases = [
    [[...cleanJob, voided], 'VOID', 'Serial of another head was scanned.'],
    [
      [...cleanJob.slice(0, 9), { kind: 'jobAbandoned', reason: 'Housing cracked.' }],
      'NOT RELEASED',
      'Housing cracked.',
    ],
    [cleanJob.slice(0, 5), 'NOT RELEASED', 'it is no service record'],
  ] as const satisfies readonly (readonly [readonly EventWish[], string, string])[];
  for (const [wishes, mark, reason] of cases) {
    const { pages, text } = await read(sourceOf(jobEvents({}, wishes)));
    expect(pages.every(({ pieces }) => pieces.some((piece) => piece.text === mark && !piece.isUpright))).toBe(
      true,
    );
    expectAll(text, [reason]);
  }
});

test('events after the signed record are pointed out', async () => {
  const proof = { ...troubled.proof!, lastSequence: 131 };
  const { text } = await read({ ...troubled, proof });
  expectAll(text, ['The signature covers events up to no. 31', 'covers events 0 to 31']);
});

test('a record whose sheet is not at hand stands under identifiers, and says so', async () => {
  const { text } = await read({ ...clean, sheet: null });
  expectAll(text, ['Service sheet not readable', 'invented-head-7', 'make-safe', '12.520 g']);
});

test('the same evidence always gives the same bytes, dated by the evidence', async () => {
  for (const fonts of [standardFonts, embeddedFonts]) {
    const first = await draw(troubled, { fonts });
    const second = await draw(sourceOf(jobEvents({ jobId: 'job-0002' }, troubledJob)), { fonts });
    expect(Buffer.compare(first, second)).toBe(0);
    const { info } = await readPdf(first);
    // 09:32:11+01:00, the amendment.
    expect(info.CreationDate).toBe('D:20261125083211Z');
  }
});

test('pages are numbered and name the serial and the record', async () => {
  const { pages } = await read(troubled, { paper: 'letter' });
  for (const [index, page] of pages.entries()) {
    expect([Math.round(page.width), Math.round(page.height)]).toEqual([612, 792]);
    expectAll(page.text, [
      `Page ${index + 1} of ${pages.length}`,
      'Service record INV-7-000123',
      `Record ${troubled.proof!.hash.slice(0, 12)}`,
    ]);
  }
});

test('a note with any letters is shown, or named by code points, but never garbled', async () => {
  const note = 'Żółć, Größe Ω, привет, 齿轮 ☃ 🔧 \u202eevil\u0007 end';
  const source = sourceOf(
    jobEvents({}, [
      ...cleanJob.slice(0, -1),
      { kind: 'noteWritten', stepId: null, text: note },
      ...cleanJob.slice(-1),
    ]),
    { names: new Map([['person-1', 'Żaneta Ω 齿']]) },
  );
  const plainLetters = await read(source, { fonts: standardFonts });
  expectAll(plainLetters.text, [
    '[U+017B]ó[U+0142][U+0107], Größe [U+03A9], [U+043F][U+0440]',
    '[U+9F7F][U+8F6E] [U+2603] [U+1F527] [U+202E]evil[U+0007] end',
    '[U+017B]aneta [U+03A9] [U+9F7F] (person-1)',
  ]);
  const moreLetters = await read(source, { fonts: embeddedFonts });
  expectAll(moreLetters.text, [
    'Żółć, Größe Ω, привет, [U+9F7F][U+8F6E]',
    '[U+202E]evil[U+0007] end',
    'Żaneta Ω [U+9F7F] (person-1)',
  ]);
});

/** As long as the schemas allow: texts, names, titles, serial; many attempts. */
function longestSource(): ServiceRecordSource {
  const sentence = 'Überlange Bemerkung über Getriebefett, Dichtung und Ringgewinde; ';
  const text = `${sentence.repeat(28)}${'W'.repeat(170)}`.slice(0, 2000);
  const title = { en: text.slice(0, 300), de: text.slice(0, 300) };
  const sheet = {
    ...inventedSheet,
    title: { en: text, de: text },
    deferral: { en: text, de: text },
    head: { ...inventedSheet.head, name: { en: text.slice(0, 600), de: text.slice(0, 600) } },
    steps: inventedSheet.steps.map((step) => ({ ...step, title })),
  };
  const attempts = Array.from({ length: 12 }, () => troubledJob.slice(8, 11)).flat();
  const wishes: EventWish[] = [
    ...troubledJob.slice(0, 8),
    ...attempts,
    {
      kind: 'stepReopened',
      stepId: 'fill',
      reason: text,
      alsoReopened: ['pocket', 'ring'],
      attemptsRenewed: true,
    },
    { kind: 'noteWritten', stepId: null, text },
    { kind: 'concessionGranted', stepId: 'fill', reason: text, limit: text },
    ...troubledJob.slice(18),
    { kind: 'jobVoided', reason: text, secondPersonId: 'person-2' },
  ];
  const serial = 'WWWWWWWWWW-0123456789-MMMMMMMMMM-0123456789-WWWWWWWWWW-0123';
  return sourceOf(
    jobEvents(
      {
        serial,
        simulated: true,
        reportedFault: text,
        customerReference: text.slice(0, 200),
        jobId: 'j'.repeat(80),
      },
      wishes,
    ),
    {
      sheet,
      names: new Map([
        ['person-1', 'W'.repeat(100)],
        ['person-2', text.slice(0, 100)],
      ]),
    },
  );
}

test('nothing runs over anything or off the page, however long the texts are', async () => {
  const drawings: readonly Drawing[] = [
    { language: 'en', paper: 'a4', fonts: standardFonts },
    { language: 'de', paper: 'letter', fonts: embeddedFonts },
  ];
  for (const drawing of drawings) {
    for (const source of [clean, troubled, longestSource()]) {
      const pdf = await read(source, drawing);
      expect(layoutFaults(pdf)).toEqual([]);
    }
  }
});

test('a whole text of 2000 characters is in the record, to the last word', async () => {
  const words = Array.from({ length: 300 }, (_, index) => `w${index}`).join(' ');
  const { text } = await read(sourceOf(jobEvents({ reportedFault: words }, cleanJob)));
  expectAll(text, [words]);
});

test('all visits of a serial are in one document, behind a list of them', async () => {
  const later = sourceOf(jobEvents({ jobId: 'job-0003', startMinutes: 6000 }, cleanJob), {}, 900);
  const model = serialHistory('INV-7-000123', [troubled, later], 'en');
  const pdf = await readPdf(await drawDocument(model, { paper: 'a4', fonts: standardFonts }));
  expectAll(pdf.pages[0]!.text, [
    'Service history',
    'Visits: 2',
    'RELEASED WITH CONCESSION',
    '2026-11-29 13:00:11 +01:00',
  ]);
  expectAll(pdf.text, [
    'Job job-0002',
    'Job job-0003',
    '13.410 g',
    `Page ${pdf.pages.length} of ${pdf.pages.length}`,
  ]);
  expect(pdf.bookmarks).toHaveLength(3);
  expect(layoutFaults(pdf)).toEqual([]);
});
