const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

const sextets = new Int8Array(128).fill(-1);
for (let index = 0; index < 64; index++) sextets[alphabet.charCodeAt(index)] = index;

/** Bytes as base64 text with padding (RFC 4648, section 4). */
export function toBase64(bytes: Uint8Array): string {
  let text = '';
  for (let index = 0; index < bytes.length; index += 3) {
    const group = ((bytes[index] ?? 0) << 16) | ((bytes[index + 1] ?? 0) << 8) | (bytes[index + 2] ?? 0);
    text += alphabet.charAt(group >> 18) + alphabet.charAt((group >> 12) & 63);
    text += index + 1 < bytes.length ? alphabet.charAt((group >> 6) & 63) : '=';
    text += index + 2 < bytes.length ? alphabet.charAt(group & 63) : '=';
  }
  return text;
}

/**
 * Bytes of base64 text, `undefined` when the text is not the one spelling of them: padding missing, foreign
 * characters, or stray bits in the last character (RFC 4648, 3.5), so that no two texts stand for the same bytes.
 */
export function fromBase64(text: string): Uint8Array | undefined {
  if (text.length % 4 !== 0) return undefined;
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const letters = text.length - padding;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  let bits = 0;
  let held = 0;
  let length = 0;
  for (let index = 0; index < letters; index++) {
    const sextet = sextets[text.charCodeAt(index)] ?? -1;
    if (sextet < 0) return undefined;
    bits = ((bits << 6) | sextet) & 0xffff;
    held += 6;
    if (held < 8) continue;
    held -= 8;
    bytes[length++] = (bits >> held) & 0xff;
  }
  return (bits & ((1 << held) - 1)) === 0 ? bytes : undefined;
}
