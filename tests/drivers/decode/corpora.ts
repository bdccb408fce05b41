import { readdirSync, readFileSync } from 'node:fs';
import { createDecoder, type Decoder, type Outcome } from '../../../drivers/decode.ts';
import { type InstrumentProfile, readProfile } from '../../../drivers/profile.ts';

const folder = new URL('../../fixtures/corpora/', import.meta.url);

/** A recording with what is true of it; the words of its profile are those of `README.md` of the corpora. */
export interface Corpus {
  readonly name: string;
  readonly bytes: Buffer;
  /** As in the file. */
  readonly rawProfile: Readonly<Record<string, unknown>>;
  readonly profile: InstrumentProfile;
  readonly losses: readonly number[];
  readonly accepted: readonly Readonly<Record<string, unknown>>[];
  readonly refused: readonly { readonly offset: number; readonly reason: string }[];
}

interface Sidecar {
  readonly profile: Record<string, unknown>;
  readonly events: readonly { readonly offset: number }[];
  readonly expected: Pick<Corpus, 'accepted' | 'refused'>;
}

export const corpora: readonly Corpus[] = readdirSync(folder)
  .filter((file) => file.endsWith('.json'))
  .sort()
  .map((file) => {
    const name = file.slice(0, -'.json'.length);
    const sidecar = JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as Sidecar;
    const profile = readProfile(sidecar);
    if (!profile.ok) throw new Error(`${file}: ${profile.error.field}: ${profile.error.message}`);
    return {
      name,
      bytes: readFileSync(new URL(`${name}.bin`, folder)),
      rawProfile: sidecar.profile,
      profile: profile.value,
      losses: sidecar.events.map(({ offset }) => offset),
      ...sidecar.expected,
    };
  });

/** Gives the sizes of the pieces in which bytes are fed. */
export type Cutting = () => number;

export const wholeFile: Cutting = () => Number.MAX_SAFE_INTEGER;
export const every =
  (size: number): Cutting =>
  () =>
    size;

/** Random sizes from a seed (mulberry32). */
export function randomCutting(seed: number, longest = 300): Cutting {
  const next = randomNumbers(seed);
  return () => 1 + Math.floor(next() * longest);
}

/** Numbers from 0 to below 1 from a seed (mulberry32). */
export function randomNumbers(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** Feeds a decoder in pieces, with the port lost and opened again at some bytes, and ends it. */
export function feed(
  decoder: Decoder,
  bytes: Uint8Array,
  losses: readonly number[],
  cutting: Cutting,
  look: (decoder: Decoder) => void = () => undefined,
): Outcome[] {
  const outcomes: Outcome[] = [];
  let at = 0;
  for (const mark of [...losses].sort((a, b) => a - b).concat(Number.POSITIVE_INFINITY)) {
    const until = Math.min(mark, bytes.length);
    while (at < until) {
      const next = Math.min(until, at + cutting());
      outcomes.push(...decoder.push(bytes.subarray(at, next)));
      look(decoder);
      at = next;
    }
    if (Number.isFinite(mark)) outcomes.push(...decoder.reconnect());
  }
  return [...outcomes, ...decoder.end()];
}

/** Decodes with a fresh decoder. */
export function decodeAll(
  profile: InstrumentProfile,
  bytes: Uint8Array,
  { losses = [] as readonly number[], cutting = wholeFile } = {},
): Outcome[] {
  return feed(createDecoder(profile), bytes, losses, cutting);
}

/** Outcomes in the words of a sidecar, each list in the order of the bytes. */
export function asSidecar(outcomes: readonly Outcome[]): Pick<Corpus, 'accepted' | 'refused'> {
  const accepted = outcomes.flatMap((outcome) => {
    if (outcome.kind === 'rejection') return [];
    const { columns: _columns, ...indication } = outcome.indication;
    return [indication];
  });
  const refused = outcomes.flatMap((outcome) =>
    outcome.kind === 'rejection'
      ? [{ offset: outcome.rejection.offset, reason: outcome.rejection.refused }]
      : [],
  );
  return { accepted: accepted.sort(byOffset), refused: refused.sort(byOffset) };
}

export function byOffset(a: { readonly offset: number }, b: { readonly offset: number }): number {
  return a.offset - b.offset;
}
