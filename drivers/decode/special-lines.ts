import { compileStart, withoutNames } from '../profile/pattern.ts';
import type { InstrumentProfile } from '../profile.ts';

/** Lines that are not to be read as readings, found with one test for all of them, since most lines are none. */
export interface SpecialLines {
  /** Whether any of the others can say yes. */
  test(text: string): boolean;
  /** A byte outside 20..7E, where the profile does not allow any byte. */
  isNoise(text: string): boolean;
  isIgnored(text: string): boolean;
  /** The reason of the first refused form that fits, or null. */
  refusalOf(text: string): string | null;
}

export function compileSpecialLines(profile: InstrumentProfile): SpecialLines {
  const ignored = profile.ignore_lines.map(compileStart);
  const refused = profile.refuse_lines.map(({ pattern, reason }) => ({
    pattern: compileStart(pattern),
    reason,
  }));
  const sources = [...profile.ignore_lines, ...profile.refuse_lines.map(({ pattern }) => pattern)].map(
    (source) => `^(?:${withoutNames(source).source})`,
  );
  if (!profile.binary_status) sources.push('[^ -~]');
  const any = sources.length === 0 ? null : new RegExp(sources.join('|'), 's');
  return {
    test: any === null ? () => false : (text) => any.test(text),
    isNoise: profile.binary_status ? () => false : (text) => /[^ -~]/.test(text),
    isIgnored: (text) => ignored.some((pattern) => pattern.test(text)),
    refusalOf: (text) => refused.find(({ pattern }) => pattern.test(text))?.reason ?? null,
  };
}
