/** A whole frame in hand: start bytes, body, end bytes, tail. */
export interface FrameBytes {
  readonly bytes: Uint8Array;
  readonly startLength: number;
  readonly endLength: number;
  readonly tailLength: number;
}

/** Where the body lies in the frame once the check characters are taken off; null when they do not fit. */
export type BodyRange = { readonly from: number; readonly to: number };

export const checksumKinds = ['twos_complement_low7', 'xor8', 'sum8', 'xor8_hex', 'sum8_hex'] as const;
export type ChecksumKind = (typeof checksumKinds)[number];

/** One function a kind: another kind is one more line here and one more name above. */
const checks: Readonly<Record<ChecksumKind, (frame: FrameBytes) => BodyRange | null>> = {
  /** One byte after the end byte; the low 7 bits of all bytes, start and end included, sum to zero. */
  twos_complement_low7: ({ bytes, startLength, endLength, tailLength }) => {
    let sum = 0;
    for (const byte of bytes) sum += byte & 0x7f;
    return (sum & 0x7f) === 0 ? { from: startLength, to: bytes.length - endLength - tailLength } : null;
  },
  /** One byte before the end: exclusive or of the body. */
  xor8: (frame) => checkLastByte(frame, (sum, byte) => sum ^ byte),
  /** One byte before the end: sum of the body modulo 256. */
  sum8: (frame) => checkLastByte(frame, (sum, byte) => sum + byte),
  /** Two hexadecimal digits before the end: exclusive or of the body. */
  xor8_hex: (frame) => checkLastDigits(frame, (sum, byte) => sum ^ byte),
  /** Two hexadecimal digits before the end: sum of the body modulo 256. */
  sum8_hex: (frame) => checkLastDigits(frame, (sum, byte) => sum + byte),
};

/** Checks a frame and takes the check characters off. */
export function checkFrame(kind: ChecksumKind, frame: FrameBytes): BodyRange | null {
  return checks[kind](frame);
}

type Fold = (sum: number, byte: number) => number;

function checkLastByte(
  { bytes, startLength, endLength, tailLength }: FrameBytes,
  fold: Fold,
): BodyRange | null {
  const to = bytes.length - endLength - tailLength - 1;
  return to >= startLength && bytes[to] === foldBody(bytes, startLength, to, fold)
    ? { from: startLength, to }
    : null;
}

function checkLastDigits(
  { bytes, startLength, endLength, tailLength }: FrameBytes,
  fold: Fold,
): BodyRange | null {
  const to = bytes.length - endLength - tailLength - 2;
  if (to < startLength) return null;
  const digits = String.fromCharCode(bytes[to] ?? 0, bytes[to + 1] ?? 0);
  if (!/^[0-9A-Fa-f]{2}$/.test(digits)) return null;
  return Number.parseInt(digits, 16) === foldBody(bytes, startLength, to, fold)
    ? { from: startLength, to }
    : null;
}

function foldBody(bytes: Uint8Array, from: number, to: number, fold: Fold): number {
  let sum = 0;
  for (let index = from; index < to; index += 1) sum = fold(sum, bytes[index] ?? 0) & 0xff;
  return sum;
}
