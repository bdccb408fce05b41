import { compileStart, withoutNames } from '../profile/pattern.ts';
import type { InstrumentProfile } from '../profile.ts';

/** Lines that are not to be read as readings, found with one test for all of them, since most lines are none. */
export interface SpecialLines {
  /** Whether any of the others can say yes. Of a line that fits the pattern less needs to be asked. */
  test(text: string, fitsPattern: boolean): boolean;
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
  const noise = profile.binary_status ? [] : ['[^ -~]'];
  const any = testOf([...sources, ...noise]);
  const anyThatFits = takesPrintableOnly(profile.pattern ?? '.') ? testOf(sources) : any;
  return {
    test: (text, fitsPattern) => (fitsPattern ? anyThatFits(text) : any(text)),
    isNoise: profile.binary_status ? () => false : (text) => /[^ -~]/.test(text),
    isIgnored: (text) => ignored.some((pattern) => pattern.test(text)),
    refusalOf: (text) => refused.find(({ pattern }) => pattern.test(text))?.reason ?? null,
  };
}

function testOf(sources: readonly string[]): (text: string) => boolean {
  if (sources.length === 0) return () => false;
  const any = new RegExp(sources.join('|'), 's');
  return (text) => any.test(text);
}

/** Whether an expression is surely without anything that takes a byte outside 20..7E. */
function takesPrintableOnly(source: string): boolean {
  const withoutClasses = source.replace(/\[(?!\^)[^\]\\]*\]/g, '');
  return (
    /^[ -~]*$/.test(source) &&
    !/[.[]/.test(withoutClasses.replace(/\\[.[]/g, '')) &&
    !/\\[^dw.+*?^$()[\]{}|/-]/.test(source)
  );
}
