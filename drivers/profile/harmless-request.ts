/**
 * Words that begin a command which deletes, resets or adjusts. A profile may hold harmless requests only: the
 * reading in an instrument's memory may be the last proof of a job, and an adjustment changes what its
 * calibration certificate says. Profiles are files that people hand to each other, so this is checked for each.
 * Common practice, no source: the list holds the spellings met in public command lists, such as the memory
 * clearing command of a torque tester, and the words of their kind (SCPI `*RST` among them).
 */
const harmfulBeginnings: readonly { readonly word: string; readonly effect: string }[] = [
  { word: 'CLR', effect: 'clears' },
  { word: 'CLEA', effect: 'clears' },
  { word: 'DEL', effect: 'deletes' },
  { word: 'ERA', effect: 'erases' },
  { word: 'WIPE', effect: 'erases' },
  { word: 'PURGE', effect: 'deletes' },
  { word: 'FORMAT', effect: 'erases' },
  { word: 'MEMCL', effect: 'clears' },
  { word: 'MCL', effect: 'clears' },
  { word: 'RST', effect: 'resets' },
  { word: 'RESET', effect: 'resets' },
  { word: 'REBOOT', effect: 'resets' },
  { word: 'INIT', effect: 'resets' },
  { word: 'FACT', effect: 'resets' },
  { word: 'DEFAULT', effect: 'resets' },
  { word: 'CAL', effect: 'adjusts' },
  { word: 'ADJ', effect: 'adjusts' },
  { word: 'SPAN', effect: 'adjusts' },
  { word: 'WRITE', effect: 'writes' },
  { word: 'STORE', effect: 'writes' },
  { word: 'SAVE', effect: 'writes' },
];

/** Words that are harmful wherever they stand in a word, as in `MEMCLR` or `LOGERASE`. */
const harmfulAnywhere = ['CLR', 'CLEAR', 'DELETE', 'ERASE', 'RESET'] as const;

/** The harmful word in the bytes of a request and what it does, or null. */
export function findHarmfulWord(
  bytes: Uint8Array,
): { readonly word: string; readonly effect: string } | null {
  // Bit 7 may be a parity bit: a command hidden by it would still arrive as the command.
  const text = Array.from(bytes, (byte) => String.fromCharCode(byte & 0x7f))
    .join('')
    .toUpperCase();
  for (const word of text.match(/[A-Z]+/g) ?? []) {
    const beginning = harmfulBeginnings.find((harmful) => word.startsWith(harmful.word));
    if (beginning !== undefined) return { word, effect: beginning.effect };
    if (harmfulAnywhere.some((harmful) => word.includes(harmful)))
      return { word, effect: 'deletes or resets' };
  }
  return null;
}
