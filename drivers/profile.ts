import { z } from 'zod';
import { type Quantity, quantityOf } from '../shared/quantity/unit.ts';
import type { Result } from '../shared/result.ts';
import { parseWith } from '../shared/schema-refusal.ts';
import { checkProfile } from './profile/consistency.ts';
import { profileWordsSchema } from './profile/profile-words.ts';

/**
 * An instrument profile: what its bytes mean, as data. The words are those of the corpora's README; unknown words
 * are ignored, so that a file may carry notes of its own.
 */
export const instrumentProfileSchema = z.preprocess(
  giveHidFrame,
  profileWordsSchema.superRefine(checkProfile),
);
export type InstrumentProfile = z.output<typeof instrumentProfileSchema>;

/** A profile whose words are well formed; whether they hold among themselves has been checked elsewhere. */
export const checkedProfileSchema = z.preprocess(giveHidFrame, profileWordsSchema);

/**
 * Reads a profile from a parsed JSON file: a profile object, or a document that holds one under `profile` (the
 * sidecar of a recording). Refusals name the field.
 */
export function readProfile(document: unknown): Result<InstrumentProfile> {
  if (typeof document === 'object' && document !== null && 'profile' in document && !('frame' in document)) {
    return parseWith(instrumentProfileSchema, document.profile, ['profile']);
  }
  return parseWith(instrumentProfileSchema, document);
}

/** A HID report comes whole from the system: nothing is to be framed, and its profile needs not say so. */
function giveHidFrame(profile: unknown): unknown {
  const isHid = typeof profile === 'object' && profile !== null && 'hid' in profile && !('frame' in profile);
  return isHid ? { ...profile, frame: { ends: ['00'], max_bytes: 64 } } : profile;
}

/** What the instrument measures: told by the profile, or by its units. */
export function measurandOf(profile: InstrumentProfile): Quantity {
  const unit = profile.unit_fixed ?? Object.values(profile.units)[0];
  return profile.kind ?? (unit === undefined ? 'mass' : quantityOf(unit));
}
