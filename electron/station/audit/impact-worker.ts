import { z } from 'zod';
import type { ImpactReportView } from '../../../shared/audit/impact-view.ts';
import { ok, type Result } from '../../../shared/result.ts';
import { openDatabaseToRead } from '../store/database.ts';
import { createEvidenceReader } from '../store/evidence-reader.ts';
import { capturesAbout, judgeCapturesAgain } from './impact.ts';
import { impactFile } from './impact-file.ts';
import { impactQuestion } from './impact-question.ts';
import { serveTask } from './task.ts';

const inputSchema = z.object({
  folder: z.string(),
  target: z.string(),
  style: z.enum(['iso', 'comma']),
  instrumentId: z.string(),
  certificateHash: z.string(),
  since: z.string().optional(),
});

function* judgeAgain(
  input: z.infer<typeof inputSchema>,
): Generator<{ done: number; total: number }, Result<ImpactReportView>> {
  const { folder, target, style, instrumentId, certificateHash, since } = input;
  const database = openDatabaseToRead(folder);
  try {
    const reader = createEvidenceReader(database);
    const asked = impactQuestion(reader, instrumentId, certificateHash, since);
    if (!asked.ok) return asked;
    const { report, window, head } = asked.value;
    const total = reader.countCaptures(capturesAbout(instrumentId, window));
    const file = impactFile(target, style, false);
    try {
      for (const entry of judgeCapturesAgain(reader, instrumentId, report, window)) {
        file.add(entry);
        yield { done: file.seen(), total };
      }
      return ok(file.complete(head));
    } finally {
      file.close();
    }
  } finally {
    database.close();
  }
}

await serveTask((input) => judgeAgain(inputSchema.parse(input)));
