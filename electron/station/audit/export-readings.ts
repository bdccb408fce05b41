import { canonicalJson, type JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { CaptureFilter } from '../store/filters.ts';
import { type CsvStyle, csvOf } from './csv.ts';
import { readingColumns, readingRow } from './reading-row.ts';
import { captureAsJson, type ReadingSource, readReadings, sheetOf } from './timeline.ts';

export interface ReadingsExport {
  readonly format: 'csv' | 'jsonl';
  readonly filter: CaptureFilter;
  /** For CSV. */
  readonly style: CsvStyle;
}

/** A piece of the export's text, and how far it is. */
export interface ExportPiece {
  readonly text: string;
  readonly done: number;
  readonly total: number;
  /** Readings up to here that were altered or removed and so are not in the export. */
  readonly omitted: number;
}

const chunk = 30;

/**
 * Captured readings one by one, in the order of the chain, in bounded memory: CSV, or JSON lines as
 * `reading-line.ts` describes. A generator: whoever runs it may pause or stop.
 */
export function* exportReadings(
  reader: EvidenceReader,
  { format, filter, style }: ReadingsExport,
): Generator<ExportPiece, void> {
  const total = reader.countCaptures(filter);
  const visits = createVisits(reader);
  const documents = remembering(reader);
  let done = 0;
  let omitted = 0;
  let after = 0;
  if (format === 'csv') yield { text: csvOf([], readingColumns, style, true), done, total, omitted };
  for (;;) {
    const entries = reader.findCaptures(filter, after, chunk);
    const last = entries.at(-1);
    if (last === undefined) return;
    after = last.sequence;
    const readings = entries.flatMap(({ jobId, sequence }) => {
      const visit = visits.of(jobId);
      const capture = visit?.captures.find(({ stored }) => stored.sequence === sequence);
      return visit === undefined || capture === undefined ? [] : [{ visit, capture }];
    });
    done += entries.length;
    omitted += entries.length - readings.length;
    const text =
      format === 'csv'
        ? csvOf(
            readings.map(({ visit, capture }) => readingRow(visit, capture)),
            readingColumns,
            style,
            false,
          )
        : readings
            .map(({ visit, capture }) => `${canonicalJson(readingLine(documents, visit, capture))}\n`)
            .join('');
    yield { text, done, total, omitted };
  }
}

/** A reading as a line of JSON lines says it. */
export function readingLine(
  reader: Pick<EvidenceReader, 'getDocument'>,
  visit: ReadingSource,
  capture: ReadingSource['captures'][number],
): JsonObject {
  const { job, opening, recordHash } = visit;
  return {
    ...captureAsJson(reader, capture),
    serial: job.serial,
    jobId: job.jobId,
    headId: job.headId,
    openedAt: opening?.event.at ?? job.openedAt,
    phase: job.phase ?? 'open',
    simulated: capture.event.capture.instrument.simulated,
    sheet: sheetOf(opening?.event),
    recordHash,
  };
}

/** Visits by job, the recent ones at hand: readings of a job come close together. */
function createVisits(reader: EvidenceReader): { of(jobId: string): ReadingSource | undefined } {
  const recent = new Map<string, ReadingSource>();
  return {
    of(jobId) {
      const known = recent.get(jobId);
      if (known !== undefined) return known;
      const job = reader.openedJob(jobId);
      if (job === undefined) return undefined;
      const visit = readReadings(reader, job);
      if (recent.size >= 20) recent.clear();
      recent.set(jobId, visit);
      return visit;
    },
  };
}

/** Documents, the recent ones at hand: few profiles and certificates serve many readings. */
function remembering(reader: EvidenceReader): Pick<EvidenceReader, 'getDocument'> {
  const recent = new Map<string, ReturnType<EvidenceReader['getDocument']>>();
  return {
    getDocument(hash) {
      if (!recent.has(hash)) {
        if (recent.size >= 200) recent.clear();
        recent.set(hash, reader.getDocument(hash));
      }
      return recent.get(hash);
    },
  };
}
