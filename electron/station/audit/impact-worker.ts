import { z } from 'zod';
import type { ImpactReportView } from '../../../shared/audit/impact-view.ts';
import { asFoundFinding } from '../../../shared/calibration/as-found-finding.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { openDatabaseToRead } from '../store/database.ts';
import { createEvidenceReader } from '../store/evidence-reader.ts';
import { csvOf } from './csv.ts';
import { capturesAbout, impactWindow, instrumentOf, judgeCapturesAgain } from './impact.ts';
import { ImpactTally, impactColumns, impactRow } from './impact-report.ts';
import { serveTask } from './task.ts';
import { wholeFile } from './whole-file.ts';

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
    const instrument = instrumentOf(reader, instrumentId);
    if (instrument === undefined)
      return refuse('instrument_unknown', 'instrumentId', 'This instrument is not in the register.');
    const certificates = instrument.certificates.map(({ certificate }) => certificate);
    const chosen = instrument.certificates.find(({ hash }) => hash === certificateHash)?.certificate;
    if (chosen === undefined)
      return refuse('certificate_unknown', 'certificateHash', 'This instrument has no such certificate.');
    const { unit, asFound, date: foundOn } = chosen;
    const report = { asFound: { unit, points: asFound }, foundOn };
    const window = impactWindow(certificates, report, since);
    const total = reader.countCaptures(capturesAbout(instrumentId, window));
    const tally = new ImpactTally();
    const file = wholeFile(target);
    try {
      file.write(csvOf([], impactColumns, style, true));
      for (const entry of judgeCapturesAgain(reader, instrumentId, report, window)) {
        tally.add(entry);
        if (entry !== 'altered') file.write(csvOf([impactRow(entry)], impactColumns, style, false));
        yield { done: tally.seen, total };
      }
      file.complete();
    } finally {
      file.close();
    }
    const finding = asFoundFinding(chosen, instrument.metrology);
    return ok(
      tally.report({
        ...{ instrumentId, name: instrument.name, certificateNumber: chosen.number, finding },
        ...window,
      }),
    );
  } finally {
    database.close();
  }
}

await serveTask((input) => judgeAgain(inputSchema.parse(input)));
