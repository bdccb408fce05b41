import { createPrivateKey, createPublicKey, type KeyObject, randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { StoreFault } from './store/store-fault.ts';
import { writeDurably } from './store/sync.ts';
import { askKeyStore, keyStoreName } from './system-key-store.ts';
import { createSecret, lockKey, readWrappedKey, unlockKey, type WrappedKey } from './wrapped-key.ts';

/** What keeps others from a private key: the rights of its file alone, or also a secret of the system's key store. */
export type KeyProtection = 'file' | 'keyStore';

/** What a key file tells without its private half. */
export interface KeyFileLook {
  /** SubjectPublicKeyInfo (DER), base64. */
  readonly publicKey: string;
  readonly protection: KeyProtection;
}

/** Looks at a key file; the key store is not asked. @throws StoreFault `key_unusable` */
export function lookAtKeyFile(file: string): KeyFileLook {
  const content = readContent(file);
  return content instanceof Object && 'sealed' in content
    ? { publicKey: content.publicKey, protection: 'keyStore' }
    : { publicKey: publicKeyOf(content), protection: 'file' };
}

/**
 * The private key of a file.
 *
 * @throws StoreFault `key_unusable`; `key_locked` when the key store does not give out what it has; `key_lost` when it
 *   has nothing, as in another account
 */
export function openKeyFile(file: string): KeyObject {
  const content = readContent(file);
  if (!('sealed' in content)) return content;
  const answer = askKeyStore({ action: 'read', name: content.name });
  if (answer.kind === 'shut') throw lockedFault(file, answer.reason);
  if (answer.kind === 'nothing') {
    throw new StoreFault(
      'key_lost',
      `${basename(file)} is locked by a secret that the ${storeName()} of this account does not have; start in the account that locked it, put an unlocked copy of the file back, or let an administrator go on with a new key by the command "key replace"`,
    );
  }
  const key = unlockKey(content, answer.secret);
  if (key === undefined || publicKeyOf(key) !== content.publicKey) throw unusableFault(file);
  return key;
}

/**
 * Writes a private key: whole and on the disk before it signs anything, for a key that a power cut takes away could
 * never vouch for that. For its owner alone, and locked by a new secret of the key store where that is wanted.
 *
 * @throws StoreFault `key_locked` when the key store does not keep the secret; then no file was changed
 */
export function writeKeyFile(file: string, key: KeyObject, protection: KeyProtection): void {
  const text =
    protection === 'file' ? key.export({ type: 'pkcs8', format: 'pem' }).toString() : lockInStore(file, key);
  writeDurably(file, text);
}

/** Lets the key store forget what unlocks a file that is no more. A store that is shut keeps a secret of no use. */
export function forgetSecretOf(text: string): void {
  const wrapped = readWrappedKey(text);
  if (wrapped !== undefined) askKeyStore({ action: 'forget', name: wrapped.name });
}

function lockInStore(file: string, key: KeyObject): string {
  const name = randomUUID();
  const secret = createSecret();
  const kept = askKeyStore({ action: 'keep', name, secret });
  if (kept.kind === 'shut') throw lockedFault(file, kept.reason);
  // Some stores say yes and keep nothing.
  const again = askKeyStore({ action: 'read', name });
  if (again.kind !== 'secret' || again.secret !== secret)
    throw lockedFault(file, again.kind === 'shut' ? again.reason : 'it did not keep what it was given');
  return lockKey(key, publicKeyOf(key), name, secret);
}

function readContent(file: string): KeyObject | WrappedKey {
  try {
    const text = readFileSync(file, 'utf8');
    const content = readWrappedKey(text) ?? createPrivateKey(text);
    if ('sealed' in content || content.asymmetricKeyType === 'ed25519') return content;
  } catch (error) {
    throw unusableFault(file, error);
  }
  throw unusableFault(file);
}

function publicKeyOf(key: KeyObject): string {
  return createPublicKey(key).export({ type: 'spki', format: 'der' }).toString('base64');
}

function unusableFault(file: string, cause?: unknown): StoreFault {
  const sentence = `${basename(file)} holds no usable key; put the right file back, or move it away and look at "key status"`;
  return new StoreFault('key_unusable', sentence, { cause });
}

function lockedFault(file: string, reason: string): StoreFault {
  return new StoreFault(
    'key_locked',
    `the ${storeName()} of this account does not open (${reason}), and ${basename(file)} needs it; sign in with the password or unlock the key store, then try again; nothing is lost`,
    { values: { store: storeName() } },
  );
}

function storeName(): string {
  return keyStoreName(process.platform);
}
