/** What bit 7 of the bytes tells about the settings of the port. */
export interface HighBitGuess {
  /** Share of the bytes with bit 7 set, 0 to 1. */
  readonly share: number;
  /** Bit 7 is a parity bit that was left in: clearing it makes text. */
  readonly isParity: boolean;
  /** The setting to try instead, where the parity is the same in every byte. */
  readonly setting: '7E1' | '7O1' | null;
}

/** Above this share bit 7 is no accident. A guess, cheap to test; see line shape A23. */
const suspiciousShare = 0.2;
/** Share of printable bytes that is taken for text. */
const textShare = 0.95;

/** Looks for a parity bit in bit 7. */
export function guessHighBit(bytes: Uint8Array): HighBitGuess {
  const share = shareOf(bytes, (byte) => byte > 0x7f);
  const becomesText = shareOf(bytes, (byte) => isText(byte & 0x7f)) >= textShare;
  const isParity = share > suspiciousShare && becomesText;
  const odd = shareOf(bytes, hasOddParity);
  const setting = !isParity ? null : odd <= 1 - textShare ? '7E1' : odd >= textShare ? '7O1' : null;
  return { share, isParity, setting };
}

function shareOf(bytes: Uint8Array, test: (byte: number) => boolean): number {
  let count = 0;
  for (const byte of bytes) if (test(byte)) count += 1;
  return bytes.length === 0 ? 0 : count / bytes.length;
}

/** Printable, a line end, or one of the control bytes that frame lines. */
function isText(byte: number): boolean {
  return (byte >= 0x20 && byte <= 0x7e) || (byte >= 0x01 && byte <= 0x06) || byte === 0x0a || byte === 0x0d;
}

function hasOddParity(byte: number): boolean {
  let ones = 0;
  for (let bits = byte; bits > 0; bits >>= 1) ones += bits & 1;
  return ones % 2 === 1;
}
