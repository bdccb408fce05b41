import type { DocumentModel } from './block.ts';
import { type DocumentFonts, findDocumentFonts } from './document-fonts.ts';
import { type DocumentReader, readRecordSource } from './document-source.ts';
import { serialHistory, serviceRecord } from './service-record.ts';
import { drawDocument, type Paper } from './service-record-pdf.ts';
import type { ServiceRecordSource } from './service-record-source.ts';
import { tagLabel } from './tag-label.ts';
import { drawTagLabel } from './tag-label-pdf.ts';
import type { DocumentLanguage } from './wording/wording.ts';

export interface DocumentOptions {
  /** Default `en`. */
  readonly language?: DocumentLanguage | undefined;
  /** For records; default `a4`. Labels have their own size. */
  readonly paper?: Paper | undefined;
  /** Default: the fonts of this installation. */
  readonly fonts?: DocumentFonts | undefined;
}

/**
 * The service record or tag label of a job as PDF: the same bytes for the same evidence and options, whoever asks.
 *
 * @returns undefined for an unknown job
 * @throws StoreFault when the evidence cannot be read; ZodError for an event that is none (run verify)
 */
export async function makeDocument(
  reader: DocumentReader,
  jobId: string,
  kind: 'record' | 'label',
  options: DocumentOptions = {},
): Promise<Uint8Array | undefined> {
  const source = readRecordSource(reader, jobId);
  if (source === undefined) return undefined;
  const language = options.language ?? 'en';
  return kind === 'label'
    ? drawTagLabel(tagLabel(source, language), options.fonts ?? findDocumentFonts())
    : draw(serviceRecord(source, language), options);
}

/** Every visit of a serial in one PDF, oldest first; undefined for an unknown serial. */
export async function makeSerialDocument(
  reader: DocumentReader,
  serial: string,
  options: DocumentOptions = {},
): Promise<Uint8Array | undefined> {
  const sources = reader.jobsOfSerial(serial).flatMap(({ jobId }) => readRecordSource(reader, jobId) ?? []);
  return drawSerialHistory(serial, sources, options);
}

/** Visits of a serial in one PDF, in the order given; undefined without any. */
export async function drawSerialHistory(
  serial: string,
  sources: readonly ServiceRecordSource[],
  options: DocumentOptions = {},
): Promise<Uint8Array | undefined> {
  if (sources.length === 0) return undefined;
  return draw(serialHistory(serial, sources, options.language ?? 'en'), options);
}

function draw(model: DocumentModel, options: DocumentOptions): Promise<Uint8Array> {
  return drawDocument(model, {
    paper: options.paper ?? 'a4',
    fonts: options.fonts ?? findDocumentFonts(),
  });
}
