import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';
import { promisify } from 'node:util';
import type { PinHash } from '../../../shared/people/person.ts';

const derive = promisify<string, Buffer, number, ScryptOptions, Buffer>(scrypt);

/** How hard a PIN is to guess from its hash; kept with each hash, so that it may grow. */
export type PinHashing = PinHash['parameters'];

// OWASP Password Storage Cheat Sheet (from memory): N = 2^15, r = 8, p = 3, 32 MiB.
export const pinHashing: PinHashing = { cost: 32_768, blockSize: 8, parallelization: 3 };
const hashBytes = 32;

/** Hashes a PIN with a fresh salt (scrypt, RFC 7914). */
export async function hashPin(pin: string, parameters: PinHashing = pinHashing): Promise<PinHash> {
  const salt = randomBytes(16);
  const hash = await derive(pin, salt, hashBytes, scryptOptions(parameters));
  return {
    hashBase64: hash.toString('base64'),
    saltBase64: salt.toString('base64'),
    parameters: { ...parameters },
  };
}

/** True if the PIN is the one that was hashed; takes the same time whether it is or not. */
export async function verifyPin(pin: string, kept: PinHash): Promise<boolean> {
  const expected = Buffer.from(kept.hashBase64, 'base64');
  const salt = Buffer.from(kept.saltBase64, 'base64');
  const actual = await derive(pin, salt, expected.length, scryptOptions(kept.parameters));
  return timingSafeEqual(actual, expected);
}

function scryptOptions({ cost, blockSize, parallelization }: PinHashing): ScryptOptions {
  return { N: cost, r: blockSize, p: parallelization, maxmem: 256 * cost * blockSize };
}
