import { foldLot } from '../../../shared/consumable/fold.ts';
import { type Lot, lotEventSchema } from '../../../shared/consumable/lot.ts';
import type { LotUseView } from '../../../shared/management-view.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { NamesOfPeople } from './people-names.ts';
import { createStepTitles } from './sheet-titles.ts';

/** Every use of a lot, newest first; none of a lot that was never here. */
export function usesOfLot(reader: EvidenceReader, lotId: string, nameOf: NamesOfPeople): LotUseView[] {
  const events = reader.readStream(`lot/${lotId}`).map(({ body }) => lotEventSchema.parse(body));
  const lot = events.reduce<Lot | undefined>(foldLot, undefined);
  const stepTitle = createStepTitles(reader);
  return (lot?.uses ?? []).toReversed().map(({ personId, ...use }) => ({
    ...use,
    serial: reader.findJob(use.jobId)?.serial ?? null,
    stepTitle: stepTitle(use.jobId, use.stepId),
    by: { personId, name: nameOf(personId) },
  }));
}
