/** Bytes as hexadecimal pairs: `53 54 0d 0a`. */
export function hexText(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
}

/** Bytes as text: printable ASCII as it is, controls as their pictures (␍, ␊), the rest as ▯. */
export function printableText(bytes: Uint8Array): string {
  return [...bytes]
    .map((byte) => {
      if (byte < 0x20) return String.fromCodePoint(0x2400 + byte);
      if (byte === 0x7f) return '\u2421';
      return byte < 0x7f ? String.fromCharCode(byte) : '▯';
    })
    .join('');
}
