import { z } from 'zod';
import type { TimelineView } from '../../../shared/contract.ts';
import { localizedTextSchema } from '../../../shared/sheet/localized-text.ts';
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

function titlesOf(reader: EvidenceReader, sheetHash: string): SheetTitles {
  const named = namedSchema.safeParse(attempt(() => reader.getDocument(sheetHash))?.body);
  if (!named.success) return noTitles;
  const { head, steps } = named.data;
  return { head: head.name, steps: Object.fromEntries(steps.map(({ stepId, title }) => [stepId, title])) };
}
