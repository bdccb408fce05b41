import {
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  type KeyObject,
  sign,
  verify,
} from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { sha256 } from './store/sha256.ts';
import { StoreFault } from './store/store-fault.ts';
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

/**
 * The key of a data folder; created on the first run with file mode 0600.
 *
 * @throws StoreFault `key_unusable` when the file is there and holds no Ed25519 private key
 */
export function openSigningKey(folder: string): SigningKey {
  const file = join(folder, signingKeyFile);
  if (!existsSync(file)) createKeyFile(file);
  return signingKeyOf(readPrivateKey(file));
}

/** The key of a data folder, or undefined where its file is missing. @throws StoreFault `key_unusable` */
export function readSigningKey(folder: string): SigningKey | undefined {
  return readKeyFile(folder, signingKeyFile);
}

/** The key that is about to take over, or undefined. @throws StoreFault `key_unusable` */
export function readNextSigningKey(folder: string): SigningKey | undefined {
  return readKeyFile(folder, nextSigningKeyFile);
}

/** Makes a key that may take over; one that never came to it is dropped. */
export function createNextSigningKey(folder: string): SigningKey {
  const file = join(folder, nextSigningKeyFile);
  rmSync(file, { force: true });
  createKeyFile(file);
  return signingKeyOf(readPrivateKey(file));
}

/** Puts the next key in the place of the key, whose private half is gone then. */
export function adoptNextSigningKey(folder: string): void {
  renameSync(join(folder, nextSigningKeyFile), join(folder, signingKeyFile));
  syncFolder(folder);
}

function readKeyFile(folder: string, name: string): SigningKey | undefined {
  const file = join(folder, name);
  return existsSync(file) ? signingKeyOf(readPrivateKey(file)) : undefined;
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

/** Whole and on the disk before it signs anything: a key that a power cut takes away could never vouch for that. */
function createKeyFile(file: string): void {
  const { privateKey } = generateKeyPairSync('ed25519');
  const draft = `${file}.new`;
  rmSync(draft, { force: true });
  const descriptor = openSync(draft, 'wx', 0o600);
  try {
    writeFileSync(descriptor, privateKey.export({ type: 'pkcs8', format: 'pem' }));
    fsyncSync(descriptor);
  } finally {
    closeSync(descriptor);
  }
  renameSync(draft, file);
  syncFolder(dirname(file));
}

function readPrivateKey(file: string): KeyObject {
  const sentence = `${basename(file)} holds no usable key; put the right file back, or move it away and look at "key status"`;
  try {
    const key = createPrivateKey(readFileSync(file));
    if (key.asymmetricKeyType === 'ed25519') return key;
  } catch (error) {
    throw new StoreFault('key_unusable', sentence, { cause: error });
  }
  throw new StoreFault('key_unusable', sentence);
}
