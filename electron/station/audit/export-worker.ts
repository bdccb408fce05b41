import { z } from 'zod';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { ok, type Result } from '../../../shared/result.ts';
import { openDatabaseToRead } from '../store/database.ts';
import { createEvidenceReader } from '../store/evidence-reader.ts';
import { type BundleProgress, writeBundle } from './bundle.ts';
import { exportReadings } from './export-readings.ts';
import type { ExportCounts } from './export-run.ts';
import { serveTask } from './task.ts';
import { wholeFile } from './whole-file.ts';

const text = z.string().optional();
const filterSchema = z.object({
  ...{ serial: text, headId: text, instrumentId: text, certificateHash: text, personId: text },
  ...{ decision: text, quantity: text, lotId: text, from: text, until: text },
});
const inputSchema = z.object({
  folder: z.string(),
  target: z.string(),
  format: z.enum(['csv', 'jsonl', 'bundle']),
  style: z.enum(['iso', 'comma']),
  filter: filterSchema.nullable(),
  at: z.string(),
});
type ExportInput = z.infer<typeof inputSchema>;

function* runExport(input: ExportInput): Generator<BundleProgress, Result<ExportCounts>> {
  const database = openDatabaseToRead(input.folder);
  try {
    const reader = createEvidenceReader(database);
    if (input.format !== 'bundle') return yield* writeReadings(input, input.format, reader);
    const { target, at, filter } = input;
    return yield* writeBundle({ reader, database, target, at, filter, documentsOf: jobEvidence.documentsOf });
  } finally {
    database.close();
  }
}

function* writeReadings(
  { target, filter, style }: ExportInput,
  format: 'csv' | 'jsonl',
  reader: ReturnType<typeof createEvidenceReader>,
): Generator<BundleProgress, Result<ExportCounts>> {
  const file = wholeFile(target);
  let omitted = 0;
  try {
    for (const { text: piece, ...counts } of exportReadings(reader, {
      format,
      style,
      filter: filter ?? {},
    })) {
      file.write(piece);
      omitted = counts.omitted;
      yield counts;
    }
    file.complete();
  } finally {
    file.close();
  }
  return ok({ omitted });
}

await serveTask((input) => runExport(inputSchema.parse(input)));
