import { type ByteAutomaton, buildAutomaton, parsePattern } from './byte-automaton.ts';

/** The bytes 30 to 39, the digits 0 to 9. */
const digits = 0x3ffn << 0x30n;

/**
 * Whether an expression tells no digit from another: wherever it takes one, it takes all. Lines that differ in
 * digits alone are then matched alike, group by group.
 */
export function isDigitBlind(source: string): boolean {
  return isBlind(buildAutomaton(parsePattern(source).alternatives));
}

function isBlind({ bytes, assertions }: ByteAutomaton): boolean {
  return (
    bytes.every((set) => (set & digits) === 0n || (set & digits) === digits) && assertions.every(isBlind)
  );
}
