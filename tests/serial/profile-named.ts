import type { InstrumentProfile } from '../../drivers/profile.ts';
import { findBuiltInProfile } from '../../drivers/profiles/index.ts';

/** A built-in profile that must be there. */
export function profileNamed(name: string): InstrumentProfile {
  const profile = findBuiltInProfile(name);
  if (profile === undefined) throw new Error(`there is no built-in profile ${name}`);
  return profile;
}
