import { z } from 'zod';
import type { TimelineView } from '../../../shared/contract.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { type LocalizedText, localizedTextSchema } from '../../../shared/sheet/localized-text.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { attempt } from './naming.ts';

export type SheetTitles = TimelineView['visits'][number]['titles'];

const namedSchema = z.object({
  head: z.object({ name: localizedTextSchema }),
  steps: z.array(z.object({ stepId: z.string(), title: localizedTextSchema })),
});

const noTitles: SheetTitles = { head: null, steps: {} };

const knownTo = new WeakMap<EvidenceReader, Map<string, SheetTitles>>();

/** What sheets call their heads and steps, each looked up once by its hash; nothing of one that is damaged. */
export function createSheetTitles(reader: EvidenceReader): (sheetHash: string | undefined) => SheetTitles {
  const known = knownTo.get(reader) ?? new Map<string, SheetTitles>();
  knownTo.set(reader, known);
  return (sheetHash) => {
    if (sheetHash === undefined) return noTitles;
    const titles = known.get(sheetHash) ?? titlesOf(reader, sheetHash);
    // What cannot be read now may be there later.
    if (titles !== noTitles) known.set(sheetHash, titles);
    return titles;
  };
}

/** What the sheet of a job calls one of its steps; null where the job or its sheet cannot be read. */
export type StepTitles = (jobId: string, stepId: string) => LocalizedText | null;

export function createStepTitles(reader: EvidenceReader): StepTitles {
  const titlesOf = createSheetTitles(reader);
  return (jobId, stepId) => {
    const opening = attempt(() => openingOf(reader, jobId));
    const { steps } = titlesOf(opening?.kind === 'jobOpened' ? opening.sheetHash : undefined);
    return (Object.hasOwn(steps, stepId) ? steps[stepId] : undefined) ?? null;
  };
}

function openingOf(reader: EvidenceReader, jobId: string): JobEvent | undefined {
  const job = reader.findJob(jobId);
  // Validated when it was written; the reader hands out nothing whose hash does not fit.
  return job && (reader.eventAt(job.sequence)?.body as JobEvent | undefined);
}

function titlesOf(reader: EvidenceReader, sheetHash: string): SheetTitles {
  const named = namedSchema.safeParse(attempt(() => reader.getDocument(sheetHash))?.body);
  if (!named.success) return noTitles;
  const { head, steps } = named.data;
  return { head: head.name, steps: Object.fromEntries(steps.map(({ stepId, title }) => [stepId, title])) };
}
