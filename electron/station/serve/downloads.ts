import { createReadStream, statSync } from 'node:fs';
import type { ServerResponse } from 'node:http';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { readingLineJsonSchema } from '../../../shared/evidence/reading-line.ts';
import { mayDo } from '../../../shared/people/permission.ts';
import type { Role } from '../../../shared/people/role.ts';
import type { ExportDesk, ReadyExport } from '../audit/export-desk.ts';
import { tarOfFolder } from '../audit/tar.ts';
import { type DocumentWish, runDocument } from '../documents/document-run.ts';

export interface DownloadParts {
  readonly dataFolder: string;
  readonly exports: Pick<ExportDesk, 'find'>;
  /** Makes a document; left out: from the evidence of the data folder. */
  readonly makeDocument?: (wish: DocumentWish) => Promise<Uint8Array | undefined>;
}

/** Who fetches. */
export interface Fetcher {
  readonly personId: string;
  readonly roles: readonly Role[];
}

const paths = {
  ofJob: /^\/documents\/([\w.-]+)\/(record|label)\.pdf$/,
  ofSerial: /^\/documents\/history\/(en|de)\/([^/]+)\.pdf$/,
  ofExport: /^\/exports\/([0-9a-f]{32})\/[\w.-]+$/,
  schema: '/exports/reading.schema.json',
} as const;

/** True where an address is one of a document or an export, whoever asks for it. */
export function isDownload(path: string): boolean {
  return path.startsWith('/documents/') || path.startsWith('/exports/');
}

/**
 * Sends what an address of a document or an export names, to a person whose role allows it. Makes documents anew in a
 * worker from the evidence.
 *
 * @returns false where there is nothing for this person
 */
export async function sendDownload(
  parts: DownloadParts,
  fetcher: Fetcher,
  path: string,
  response: ServerResponse,
): Promise<boolean> {
  if (!mayDo(fetcher.roles, 'readAudit')) return false;
  if (path === paths.schema) return sendSchema(response);
  const [, exportId] = paths.ofExport.exec(path) ?? [];
  if (exportId !== undefined) {
    if (!mayDo(fetcher.roles, 'exportEvidence')) return false;
    const ready = parts.exports.find(fetcher.personId, exportId);
    if (ready === undefined) return false;
    await sendExport(ready, response);
    return true;
  }
  const wish = documentOf(path);
  if (wish === undefined) return false;
  const make = parts.makeDocument ?? ((one) => runDocument(parts.dataFolder, one));
  const pdf = await make(wish.wish);
  if (pdf === undefined) return false;
  response.writeHead(200, {
    'Content-Type': 'application/pdf',
    'Content-Disposition': `inline; filename="${fileNameOf(wish.name)}.pdf"`,
    'Cache-Control': 'no-store',
  });
  response.end(pdf);
  return true;
}

function documentOf(path: string): { wish: DocumentWish; name: string } | undefined {
  const [, jobId, kind] = paths.ofJob.exec(path) ?? [];
  if (jobId !== undefined && (kind === 'record' || kind === 'label')) {
    return { wish: { kind, jobId }, name: `${kind}-${jobId}` };
  }
  const [, language, encoded = ''] = paths.ofSerial.exec(path) ?? [];
  if (language !== 'en' && language !== 'de') return undefined;
  try {
    const serial = decodeURIComponent(encoded);
    return { wish: { kind: 'history', serial, language }, name: `history-${serial}` };
  } catch {
    return undefined;
  }
}

function fileNameOf(name: string): string {
  return name.replaceAll(/[^\w.-]/g, '_');
}

function sendSchema(response: ServerResponse): true {
  response.writeHead(200, {
    'Content-Type': 'application/schema+json',
    'Content-Disposition': 'attachment; filename="reading.schema.json"',
  });
  response.end(`${JSON.stringify(readingLineJsonSchema(), null, 2)}\n`);
  return true;
}

const types = { csv: 'text/csv; charset=utf-8', jsonl: 'application/jsonl', bundle: 'application/x-tar' };

async function sendExport({ format, path, fileName }: ReadyExport, response: ServerResponse): Promise<void> {
  const folder = format === 'bundle' ? tarOfFolder(path, fileName.replace(/\.tar$/, '')) : undefined;
  response.writeHead(200, {
    'Content-Type': types[format],
    'Content-Disposition': `attachment; filename="${fileName}"`,
    'Content-Length': folder?.bytes ?? statSync(path).size,
    'Cache-Control': 'no-store',
  });
  // Whoever hangs up half-way ends the reading; that is no fault.
  await pipeline(
    folder === undefined ? createReadStream(path) : Readable.from(folder.chunks()),
    response,
  ).catch(() => response.destroy());
}
