import { createDecoder } from '../../../drivers/decode.ts';
import { type InstrumentProfile, readProfile } from '../../../drivers/profile.ts';
import type { JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { Indication } from '../../../shared/indication.ts';
import { createReplay } from './replay.ts';

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

function decodeBytes(stored: JsonObject, bytes: Uint8Array): readonly Indication[] | undefined {
  const profile = profileOf(stored);
  if (profile === undefined) return undefined;
  const decoder = createDecoder(profile, { synchronised: true });
  return [...decoder.push(bytes), ...decoder.end()].flatMap((outcome) =>
    outcome.kind === 'indication' ? [outcome.indication] : [],
  );
}

/** The replay with the decoder that reads the live instruments. */
export const stationReplay = createReplay(decodeBytes);
