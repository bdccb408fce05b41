import type { JsonObject } from './canonical-json.ts';
import type { StoredEvent } from './stored-event.ts';

/** The job a capture belongs to, as far as the index needs it. */
export interface OpenedJob {
  readonly jobId: string;
  readonly serial: string;
  readonly headId: string;
}

/** A row of the index tables. Times in UTC so that they sort; the event keeps the offset. */
export type IndexRow =
  | {
      readonly table: 'job';
      readonly jobId: string;
      readonly serial: string;
      readonly headId: string;
      readonly personId: string | null;
      readonly openedAt: string;
      readonly sequence: number;
    }
  | {
      readonly table: 'job_end';
      readonly jobId: string;
      readonly phase: string;
      readonly at: string;
      readonly sequence: number;
    }
  | {
      readonly table: 'capture';
      readonly captureId: string;
      readonly jobId: string;
      readonly serial: string;
      readonly headId: string;
      readonly stepId: string;
      readonly quantity: string;
      readonly instrumentId: string;
      readonly certificateHash: string | null;
      readonly decision: string | null;
      readonly personId: string | null;
      readonly at: string;
      readonly sequence: number;
    }
  | {
      readonly table: 'consumption';
      readonly lotId: string;
      readonly jobId: string;
      readonly at: string;
      readonly sequence: number;
    };

/** A document by its hash, as the record builder may ask for it. */
export type FindDocument = (hash: string) => { readonly kind: string; readonly body: JsonObject } | undefined;

/**
 * What the evidence means, handed to a store that knows nothing of jobs. Pure, and the same for the station that
 * writes and the auditor who checks, so that every derived row can be derived again.
 */
export interface EvidenceRules {
  /**
   * The index rows that an event adds.
   *
   * @param job the job of a `job/<id>` stream, once it is opened
   */
  indexRows(event: StoredEvent, job: OpenedJob | undefined): readonly IndexRow[];
  /**
   * True when the job of this event has now a record to sign: it was released, abandoned or voided, or amended
   * after that.
   *
   * @param ended whether the job had an end before this event
   */
  closesRecord(event: StoredEvent, ended: boolean): boolean;
  /**
   * The record of a job as plain data, from its events alone (and the documents they name).
   *
   * @param events the whole stream up to and with the closing event
   */
  buildRecord(events: readonly StoredEvent[], findDocument: FindDocument): JsonObject;
  /** Hashes of the documents that an event refers to; each must be in the store. */
  documentsOf(event: StoredEvent): readonly string[];
}

/** An instant in UTC, so that index rows sort by time: `2026-03-29T01:30:00+01:00` becomes `2026-03-29T00:30:00.000Z`. */
export function utcOf(at: string): string {
  return new Date(at).toISOString();
}
