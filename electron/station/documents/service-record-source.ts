import type { VisitPlaceView } from '../../../shared/audit/view.ts';
import type { LotUnit } from '../../../shared/consumable/lot.ts';
import type { RecordProof } from '../../../shared/evidence/signed-record.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';

/** A job event with its place in the station's chain. */
export interface RecordedEvent {
  readonly event: JobEvent;
  readonly sequence: number;
  readonly hash: string;
}

/** The signed record of a job, as far as a print names it. */
export interface SignedProof extends RecordProof {
  readonly revision: number;
  /** The last event that the record covers, as a place in the chain. */
  readonly lastSequence: number;
}

/** All that a service record is made from. */
export interface ServiceRecordSource {
  /** The whole job in order, at least its opening. */
  readonly events: readonly RecordedEvent[];
  /** The pinned sheet; null where the store has none that can be read. */
  readonly sheet: ServiceSheet | null;
  /** Names by personId; who is missing stands under the id. */
  readonly names: ReadonlyMap<string, string>;
  /** Units by lotId, where known. */
  readonly lotUnits: ReadonlyMap<string, LotUnit>;
  /** The newest signed record; null before there is one. */
  readonly proof: SignedProof | null;
  /** Where it was, for a print across the benches of a site. */
  readonly place?: VisitPlaceView;
}
