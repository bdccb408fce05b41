import { compileStart, compileWhole, withoutNames } from '../profile/pattern.ts';
import type { InstrumentProfile } from '../profile.ts';
import { compileReading, type ReadingReader } from './reading.ts';
import { compileSpecialLines, type SpecialLines } from './special-lines.ts';

/** What a profile says of single lines, ready to be used; the same for every decoder of it. */
export interface CompiledLines {
  /** The line that is reported, whole. */
  readonly pattern: RegExp;
  /** Name of each of its groups by number. */
  readonly names: readonly string[];
  readonly special: SpecialLines;
  readonly unitLine: RegExp | undefined;
  readonly reader: ReadingReader;
}

/** A replay makes a decoder for each reading, always of the same few profiles. */
const known = new WeakMap<InstrumentProfile, CompiledLines>();

export function compileLines(profile: InstrumentProfile): CompiledLines {
  const before = known.get(profile);
  if (before !== undefined) return before;
  const reported =
    profile.ticket === undefined ? profile.pattern : profile.ticket.lines[profile.ticket.report];
  const { source, names } = withoutNames(reported ?? '');
  const compiled = {
    pattern: compileWhole(source),
    names,
    special: compileSpecialLines(profile),
    unitLine: profile.unit_line === undefined ? undefined : compileStart(profile.unit_line.pattern),
    reader: compileReading(profile, names),
  };
  known.set(profile, compiled);
  return compiled;
}
