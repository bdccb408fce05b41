/**
 * A small memory of lines already understood. A scale at rest says the same line again and again, and the same
 * line always means the same; finding it again costs a fifth of reading it.
 */
export interface LineMemory<Meaning> {
  find(text: string): Meaning | undefined;
  /** Keeps what the line means that `find` has just not found. Kept from its second coming on. */
  keep(text: string, meaning: Meaning): void;
}

/** Number of lines remembered; a power of two. */
const places = 1024;
/** After this many lines in a row that were not found, only one line in sixteen is looked for until one is found. */
const patience = 256;
/** Longer lines are not remembered, so that the memory stays small. */
const longestLine = 128;

export function createLineMemory<Meaning>(): LineMemory<Meaning> {
  // Places are made with the fifth line: a replay makes a decoder for one or two.
  let seen = new Int32Array(0);
  let texts: (string | undefined)[] = [];
  let meanings: (Meaning | undefined)[] = [];
  let hash = 0;
  let missed = 0;
  let isKept = false;

  return {
    find(text) {
      missed += 1;
      isKept = text.length <= longestLine && (missed < patience || missed % 16 === 0);
      if (!isKept) return undefined;
      hash = 0;
      for (let index = 0; index < text.length; index += 1)
        hash = (Math.imul(hash, 31) + text.charCodeAt(index)) | 0;
      const place = (hash ^ (hash >>> 15)) & (places - 1);
      if (texts[place] !== text) return undefined;
      missed = 0;
      return meanings[place];
    },
    keep(text, meaning) {
      if (!isKept) return;
      if (seen.length === 0) {
        if (missed < 5) return;
        seen = new Int32Array(places);
        texts = new Array(places).fill(undefined);
        meanings = new Array(places).fill(undefined);
      }
      const place = (hash ^ (hash >>> 15)) & (places - 1);
      if (seen[place] === hash) {
        // A text of its own: a slice would keep the whole chunk in memory.
        texts[place] = Buffer.from(text, 'latin1').toString('latin1');
        meanings[place] = meaning;
      } else seen[place] = hash;
    },
  };
}
