import { createPublicKey, generateKeyPairSync, type KeyObject, sign, verify } from 'node:crypto';
import { existsSync, readFileSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import {
  forgetSecretOf,
  type KeyFileLook,
  type KeyProtection,
  lookAtKeyFile,
  openKeyFile,
  writeKeyFile,
} from './key-file.ts';
import { sha256 } from './store/sha256.ts';
import { syncFolder } from './store/sync.ts';

/** The station's Ed25519 key (RFC 8032): signs records and seals. The private half never leaves this object. */
export interface SigningKey {
  /** SHA-256 of the public key (SubjectPublicKeyInfo, DER), hexadecimal. */
  readonly keyId: string;
  /** SubjectPublicKeyInfo (DER), base64. */
  readonly publicKey: string;
  /** Signature of the UTF-8 bytes of a text, 64 bytes. */
  sign(text: string): Uint8Array;
}

export const signingKeyFile = 'signing-key.pem';
/** The key that is about to take over; it becomes `signingKeyFile` once the chain has its introduction. */
export const nextSigningKeyFile = 'signing-key.next.pem';

/** What can be told of a key that is locked or not. */
export interface KeyLook extends KeyFileLook {
  readonly keyId: string;
}

/**
 * The key of a data folder; created on the first run with file mode 0600.
 *
 * @throws StoreFault `key_unusable` when the file is there and holds no Ed25519 private key; `key_locked`, `key_lost`
 */
export function openSigningKey(folder: string): SigningKey {
  const file = join(folder, signingKeyFile);
  if (!existsSync(file)) writeKeyFile(file, createKey(), 'file');
  return signingKeyOf(openKeyFile(file));
}

/**
 * The key of a data folder, or undefined where its file is missing.
 *
 * @throws StoreFault `key_unusable`, `key_locked`, `key_lost`
 */
export function readSigningKey(folder: string): SigningKey | undefined {
  const file = join(folder, signingKeyFile);
  return existsSync(file) ? signingKeyOf(openKeyFile(file)) : undefined;
}

/** Whose key a data folder holds, without opening it. @throws StoreFault `key_unusable` */
export function lookAtSigningKey(folder: string): KeyLook | undefined {
  return lookAt(join(folder, signingKeyFile));
}

/** The same of the key that is about to take over. @throws StoreFault `key_unusable` */
export function lookAtNextSigningKey(folder: string): KeyLook | undefined {
  return lookAt(join(folder, nextSigningKeyFile));
}

/** Makes a key that may take over; one that never came to it is dropped. @throws StoreFault `key_locked` */
export function createNextSigningKey(folder: string, protection: KeyProtection): SigningKey {
  const file = join(folder, nextSigningKeyFile);
  const dropped = textOf(file);
  rmSync(file, { force: true });
  forgetSecretOf(dropped);
  const key = createKey();
  writeKeyFile(file, key, protection);
  return signingKeyOf(key);
}

/** Puts the next key in the place of the key, whose private half is gone then. */
export function adoptNextSigningKey(folder: string): void {
  const file = join(folder, signingKeyFile);
  const old = textOf(file);
  renameSync(join(folder, nextSigningKeyFile), file);
  syncFolder(folder);
  forgetSecretOf(old);
}

/** Locks the key of a data folder by the system's key store, or unlocks it for good. @throws StoreFault `key_locked` … */
export function protectSigningKey(folder: string, protection: KeyProtection): void {
  const file = join(folder, signingKeyFile);
  const old = textOf(file);
  writeKeyFile(file, openKeyFile(file), protection);
  forgetSecretOf(old);
}

function createKey(): KeyObject {
  return generateKeyPairSync('ed25519').privateKey;
}

function lookAt(file: string): KeyLook | undefined {
  if (!existsSync(file)) return undefined;
  const look = lookAtKeyFile(file);
  return { ...look, keyId: sha256(Buffer.from(look.publicKey, 'base64')) };
}

function textOf(file: string): string {
  return existsSync(file) ? readFileSync(file, 'utf8') : '';
}

/** A signing key around a private key object. */
export function signingKeyOf(privateKey: KeyObject): SigningKey {
  const publicKey = createPublicKey(privateKey).export({ type: 'spki', format: 'der' });
  return {
    keyId: sha256(publicKey),
    publicKey: publicKey.toString('base64'),
    sign: (text) => sign(null, Buffer.from(text), privateKey),
  };
}

/** True when the signature of the text was made by the private half of this public key (SPKI, DER, base64). */
export function isSignedBy(publicKey: string, text: string, signature: Uint8Array): boolean {
  const key = publicKeyOf(publicKey);
  try {
    return key !== null && verify(null, Buffer.from(text), key, signature);
  } catch {
    return false;
  }
}

/** Few keys check many signatures, and reading a key takes longer than checking with it. */
const readKeys = new Map<string, KeyObject | null>();

function publicKeyOf(publicKey: string): KeyObject | null {
  const known = readKeys.get(publicKey);
  if (known !== undefined) return known;
  const key = readPublicKey(publicKey);
  if (readKeys.size >= 100) readKeys.clear();
  readKeys.set(publicKey, key);
  return key;
}

function readPublicKey(publicKey: string): KeyObject | null {
  try {
    const key = createPublicKey({ key: Buffer.from(publicKey, 'base64'), type: 'spki', format: 'der' });
    return key.asymmetricKeyType === 'ed25519' ? key : null;
  } catch {
    return null;
  }
}
