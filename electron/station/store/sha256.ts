import { hash } from 'node:crypto';

/** SHA-256 (FIPS 180-4) of bytes, or of the UTF-8 bytes of a text, as 64 lower-case hexadecimal digits. */
export function sha256(data: string | Uint8Array): string {
  return hash('sha256', data, 'hex');
}
