import type { InstrumentView } from '../../shared/contract.ts';
import type { RejectionReason } from '../../shared/indication.ts';
import type { Refusal } from '../../shared/result.ts';
import type { Situation } from './situation.ts';

/** Why the instrument in hand gives no value that counts, worst first. */
export type Trouble =
  | { readonly kind: 'no instrument' }
  | { readonly kind: 'port'; readonly state: Exclude<InstrumentView['port']['state'], 'open'> }
  | { readonly kind: 'silent'; readonly rejection: RejectionReason | null }
  | { readonly kind: 'unfit'; readonly code: string; readonly message: string }
  | { readonly kind: 'blocked'; readonly refusal: Refusal };

/** A scale speaks all the time; without a reading for this long, the last one is no longer current. */
export const staleMilliseconds = 1500;

/** The trouble with the instrument that the measured step in hand needs; null when there is none. */
export function troubleOf(situation: Situation): Trouble | null {
  const { measurement, instrument } = situation;
  if (measurement === null) return null;
  if (instrument === null) return { kind: 'no instrument' };
  if (instrument.port.state !== 'open') return { kind: 'port', state: instrument.port.state };
  if (instrument.silent) {
    // The piece of a line at a beginning is no reason to be silent.
    const { lastRejection } = instrument;
    return { kind: 'silent', rejection: lastRejection === 'first_partial' ? null : lastRejection };
  }
  if (measurement.blocked !== null) return { kind: 'blocked', refusal: measurement.blocked };
  if (!instrument.fitness.usable) {
    return { kind: 'unfit', code: instrument.fitness.code, message: instrument.fitness.message };
  }
  return null;
}

/** Is the value on the screen too old to be current? A wrench speaks only when it is pulled. */
export function isStale(situation: Situation, ageMilliseconds: number | null): boolean {
  const trouble = troubleOf(situation)?.kind;
  if (trouble === 'no instrument' || trouble === 'port' || trouble === 'silent') return true;
  if (situation.connection !== 'connected') return true;
  const speaksAllTheTime = situation.instrument?.kind === 'scale';
  return speaksAllTheTime && (ageMilliseconds ?? 0) > staleMilliseconds;
}

/** What a value that is not current is called: an instrument that sends, but nothing to believe, has a signal. */
export function staleWord(situation: Situation): 'verdict.stale' | 'verdict.noValue' {
  const trouble = troubleOf(situation);
  return trouble?.kind === 'silent' && trouble.rejection !== null ? 'verdict.noValue' : 'verdict.stale';
}
