import type { Indication } from '../shared/indication.ts';
import type { SteadinessRule } from './profile/settings.ts';
import { type InstrumentProfile, measurandOf } from './profile.ts';
import { createSteadiness, usualSteadinessRule } from './steadiness.ts';

/** Says of each indication whether it is settled. */
export interface Settling {
  isSettled(indication: Indication, atMilliseconds: number): boolean;
  /** Forgets what was: after a lost port, a refused line, or a tare. */
  reset(): void;
}

/**
 * A mass is settled by the instrument's own flag, and by our steadiness rule where the profile names one or the
 * instrument has no flag. A torque is settled when it is a peak.
 */
export function createSettling(profile: InstrumentProfile): Settling {
  const rule = steadinessRuleOf(profile);
  if (rule === null) {
    return { isSettled: ({ state }) => state === 'stable' || state === 'peak', reset: () => undefined };
  }
  const steadiness = createSteadiness(rule);
  return {
    isSettled: (indication, atMilliseconds) => steadiness.push(indication, atMilliseconds).state === 'stable',
    reset: () => steadiness.reset(),
  };
}

/** The steadiness rule by which a scale counts as stable; null for one that says so itself, and for a wrench. */
export function steadinessRuleOf(profile: InstrumentProfile): SteadinessRule | null {
  if (measurandOf(profile) !== 'mass') return null;
  if (profile.steadiness !== undefined) return profile.steadiness;
  const meanings = profile.bits.flatMap(({ one, zero }) => [one, zero]);
  const saysItself =
    profile.stability !== undefined ||
    profile.state !== undefined ||
    profile.ticket !== undefined ||
    profile.hid !== undefined ||
    meanings.includes('stable');
  return saysItself ? null : usualSteadinessRule;
}
