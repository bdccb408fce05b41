import type { Indication, Rejection } from '../shared/indication.ts';
import type { EvidenceLine } from './evidence-buffer.ts';
import type { InstrumentHealth } from './instrument-health.ts';
import type { Arrival } from './port/clock.ts';
import type { Pull } from './pull.ts';

/** An indication as it came from a live instrument. */
export interface LiveIndication extends Arrival {
  readonly kind: 'indication';
  readonly indication: Indication;
  /** Stable by the instrument's own flag, or by the steadiness rule where it has none; a torque peak is settled. */
  readonly settled: boolean;
  /** The bytes that make it: a fresh decoder with `synchronised` reads the same from them. */
  readonly bytes: Uint8Array;
  /** Index of their first byte, counted from the first byte of the stream. */
  readonly startOffset: number;
  /** Index of the byte behind the last one. */
  readonly endOffset: number;
}

/** Bytes that were not believed. Told at most some twenty times a second; every one is counted in the health. */
export interface LiveRejection extends Arrival {
  readonly kind: 'rejection';
  readonly rejection: Rejection;
}

export interface LiveHealth {
  readonly kind: 'health';
  readonly health: InstrumentHealth;
}

/** A pull of a wrench: told with each of its values while it lasts, and once when it is over. */
export type LivePull = {
  readonly kind: 'pull';
  /** Counts the pulls since the instrument was joined, from 1; incomplete ones count too. */
  readonly number: number;
} & (
  | {
      readonly phase: 'pulling';
      /** The greatest value so far. */
      readonly greatest: LiveIndication;
    }
  | {
      readonly phase: 'complete';
      readonly pull: Pull;
      /** The indication that is the peak. */
      readonly peak: LiveIndication;
      /** The raw lines of the whole pull, from just before its first value to the line that ended it. */
      readonly evidence: readonly EvidenceLine[];
    }
  | {
      readonly phase: 'incomplete';
      /** Its `incomplete` says why the peak is not known. */
      readonly pull: Pull;
      readonly evidence: readonly EvidenceLine[];
    }
);

export type LiveEvent = LiveIndication | LiveRejection | LiveHealth | LivePull;

/** Which lines of the recent past are wanted. */
export interface EvidenceWish {
  /** The indication that the evidence is for. */
  readonly until: LiveIndication;
  /** Lines of this time before it come along, for example for a steadiness rule. Default: its own line alone. */
  readonly backMilliseconds?: number;
}
