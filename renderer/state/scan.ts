import type { WedgeOutcome } from '../../shared/wedge.ts';

/** Where the focus is when a scan ends, and what the page asks for. */
export interface ScanPlace {
  /** The field with the focus is one that may be scanned into. */
  readonly fieldTakesScans: boolean;
  /** Somewhere else is the field of a badge, a serial, a lot. */
  readonly hasScanEntry: boolean;
}

/** What becomes of the characters that stand in the field with the focus, and of the key that ended them. */
export type ScanVerdict =
  /** A person's, or a scan where it belongs: everything stays as it was typed. */
  | { readonly kind: 'leave' }
  /** A scan where it belongs, with a prefix before it: the field gets the text without it. */
  | { readonly kind: 'without prefix'; readonly text: string }
  /** A scan in a wrong place: the field gets back what it had, the entry of the moment gets the scan. */
  | { readonly kind: 'to entry'; readonly text: string }
  /** The same where nothing asks for a scan. */
  | { readonly kind: 'unused' };

export function judgeScan(outcome: WedgeOutcome, { fieldTakesScans, hasScanEntry }: ScanPlace): ScanVerdict {
  if (outcome.kind !== 'device') return { kind: 'leave' };
  const { text, by } = outcome;
  if (fieldTakesScans) return by === 'prefix' ? { kind: 'without prefix', text } : { kind: 'leave' };
  return hasScanEntry ? { kind: 'to entry', text } : { kind: 'unused' };
}
