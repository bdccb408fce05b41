import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { Result } from '../../../shared/result.ts';
import type { EvidenceReader } from './evidence-reader.ts';

/** Something that happened, before it has its place in the chain. Validated by the caller. */
export interface NewEvent {
  readonly kind: string;
  /** Plain data as JSON knows it. */
  readonly body: object;
}

/** Something that events refer to by the hash of its canonical JSON: profile, sheet, certificate … */
export interface NewDocument {
  readonly kind: string;
  /** Plain data as JSON knows it. */
  readonly body: object;
}

/** What to add to one stream. */
export interface StreamAppend {
  readonly stream: string;
  /** Number of events that the caller has seen of this stream; refused `version_conflict` when it has moved on. */
  readonly expectedVersion: number;
  readonly events: readonly NewEvent[];
}

export interface AppendRequest extends StreamAppend {
  /** Who is signed in; null for what the station does by itself. */
  readonly personId: string | null;
  /** Further streams, all in the same transaction: a job and the lot that it uses. */
  readonly also?: readonly StreamAppend[];
  /** Documents that the events refer to, put in the same transaction. */
  readonly documents?: readonly NewDocument[];
}

/** The evidence of one station: it appends, it never updates. Only one process holds it. */
export interface Store extends EvidenceReader {
  /**
   * Adds events, their index rows and, when a job is released or amended, its signed record: all or nothing.
   * On the disk when it returns. A StoreFault means that nothing was written and the call may be repeated; a
   * repetition of what was written after all is refused `version_conflict`.
   *
   * @returns the stored events of `stream` and then of `also`, or the refusal `version_conflict`
   * @throws StoreFault; TypeError for a body that canonical JSON refuses, a bug of the caller
   */
  append(request: AppendRequest): Result<readonly StoredEvent[]>;
  /** Puts a document (profile, sheet, certificate …) once and returns its hash. */
  putDocument(kind: string, body: object): string;
  /** The station's key, as records name it. */
  readonly keyId: string;
  /** True when the head file could not be written after the last commit; the evidence itself is safe. */
  headLags(): boolean;
  /**
   * Calls the listener behind every commit, in the same turn: a quick one that throws nothing.
   *
   * @returns what ends that
   */
  onCommit(listener: () => void): () => void;
  close(): void;
}
