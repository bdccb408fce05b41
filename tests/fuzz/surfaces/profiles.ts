import { createContext, Script } from 'node:vm';
import fc from 'fast-check';
import { createDecoder } from '../../../drivers/decode.ts';
import { compileWhole, findPatternFault } from '../../../drivers/profile/pattern.ts';
import { type InstrumentProfile, readProfile } from '../../../drivers/profile.ts';
import { spoiled } from '../mutation.ts';
import { profileDocuments } from '../profiles-on-disk.ts';
import { isRefusal } from '../refusal.ts';
import type { Surface } from '../surface.ts';
import { hostileStream } from './decoder.ts';

/** A line may keep the station busy for so long at most. Far above what patterns are let in with (a fifth of a second). */
const longestForOneLine = 2000;

/** Profile files as people hand them to each other. */
export const profileSurface: Surface = {
  name: 'profile JSON',
  holds: 'refused with a sentence, or reads any bytes without a throw, in bounded memory and time',
  async open() {
    return {
      property: fc.property(spoiled(profileDocuments()), hostileStream, (document, pieces) => {
        const profile = readProfile(document);
        if (!profile.ok) return isRefusal(profile.error);
        const startedAt = performance.now();
        decodeAll(profile.value, pieces);
        return performance.now() - startedAt < longestForOneLine;
      }),
    };
  },
};

function decodeAll(profile: InstrumentProfile, pieces: readonly Uint8Array[]): void {
  const decoder = createDecoder(profile);
  for (const piece of pieces) decoder.push(piece);
  decoder.reconnect();
  decoder.end();
}

/** Regular expressions of a grammar that is fond of repetitions inside repetitions. */
export const hostilePattern: fc.Arbitrary<string> = fc.letrec<{
  pattern: string;
  piece: string;
  atom: string;
}>((tie) => ({
  pattern: fc
    .array(tie('piece'), { minLength: 1, maxLength: 4 })
    .chain((pieces) =>
      fc.constantFrom(pieces.join(''), pieces.join('|'), `^${pieces.join('')}$`, `(?=${pieces.join('')})x`),
    ),
  piece: fc
    .tuple(tie('atom'), fc.constantFrom('', '', '*', '+', '?', '{1,20}', '{3,}', '*?', '+?'))
    .map(([atom, repetition]) => atom + repetition),
  atom: fc.oneof(
    { maxDepth: 3, withCrossShrink: true },
    fc.constantFrom('a', 'b', '.', '\\d', '\\s', '[ab]', '[^a]', '\\w', ' ', '-', 'ä'),
    tie('pattern').map((inner) => `(${inner})`),
    tie('pattern').map((inner) => `(?:${inner})`),
    tie('pattern').map((inner) => `(?!${inner})`),
  ),
})).pattern;

const context = createContext({});

/** Milliseconds that a match takes, or the limit when it takes longer: V8 stops a match of a script with a time limit. */
export function matchMilliseconds(source: string, line: string, limit: number): number {
  const { source: whole, flags } = compileWhole(source);
  const script = new Script(`new RegExp(${JSON.stringify(whole)}, '${flags}').test(${JSON.stringify(line)})`);
  const startedAt = performance.now();
  try {
    script.runInContext(context, { timeout: limit });
    return performance.now() - startedAt;
  } catch (error) {
    // An error of another context: not an instance of this one's Error.
    if ((error as { code?: unknown }).code === 'ERR_SCRIPT_EXECUTION_TIMEOUT') return limit;
    throw error;
  }
}

/** Lines that make a backtracking matcher try every way: long runs of what the pattern likes, and then something else. */
export function costlyLines(maxBytes: number): readonly string[] {
  return ['a', 'b', 'ab', ' ', '1', '1 ', 'a1', '--', 'aab', '\xe4'].flatMap((unit) => {
    const run = unit.repeat(Math.ceil(maxBytes / unit.length));
    return ['', '!', '\n', 'b'].map((end) => run.slice(0, maxBytes - end.length) + end);
  });
}

/** Regular expressions in profiles: what is let in at the load cannot hang the station. */
export const patternSurface: Surface = {
  name: 'patterns in profiles',
  holds: 'refused at the load, or no line of the cap takes longer than 2 s',
  async open() {
    return {
      property: fc.property(hostilePattern, fc.constantFrom(32, 96, 256), (source, maxBytes) => {
        if (findPatternFault(source, maxBytes) !== null) return;
        for (const line of costlyLines(maxBytes)) {
          const milliseconds = matchMilliseconds(source, line, longestForOneLine);
          if (milliseconds >= longestForOneLine)
            throw new Error(`${source} hangs at ${JSON.stringify(line)}`);
        }
      }),
    };
  },
};
