import { createDecoder, type Outcome } from '../../../drivers/decode.ts';
import { type InstrumentProfile, readProfile } from '../../../drivers/profile.ts';
import { createSettling, steadinessRuleOf } from '../../../drivers/settling.ts';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { Indication } from '../../../shared/indication.ts';
import { createReplay, type TimedBytes } from './replay.ts';

/** Stored profiles that were read already; a document stays the same object while it is at hand. */
const known = new WeakMap<JsonObject, InstrumentProfile>();

function profileOf(stored: JsonObject): InstrumentProfile | undefined {
  const before = known.get(stored);
  if (before !== undefined) return before;
  const read = readProfile(stored);
  if (!read.ok) return undefined;
  known.set(stored, read.value);
  return read.value;
}

function decodeBytes(stored: JsonObject, lines: readonly TimedBytes[]): readonly Indication[] | undefined {
  const profile = profileOf(stored);
  if (profile === undefined) return undefined;
  const decoder = createDecoder(profile, { synchronised: true, isBrief: true });
  const settling = steadinessRuleOf(profile) === null ? null : createSettling(profile);
  const indications: Indication[] = [];
  const take = (outcomes: readonly Outcome[], atMilliseconds: number) => {
    for (const outcome of outcomes) {
      if (outcome.kind === 'indication') {
        const { indication } = outcome;
        const isSettled = settling?.isSettled(indication, atMilliseconds) ?? false;
        indications.push(isSettled ? { ...indication, state: 'stable' } : indication);
      } else if (outcome.rejection.refused !== 'not_a_reading') settling?.reset();
    }
  };
  for (const { atMilliseconds, bytes } of lines) take(decoder.push(bytes), atMilliseconds);
  take(decoder.end(), lines.at(-1)?.atMilliseconds ?? 0);
  return indications;
}

/** The replay with the decoder that reads the live instruments. */
export const stationReplay = createReplay(decodeBytes);
