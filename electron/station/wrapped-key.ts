import { createCipheriv, createDecipheriv, createPrivateKey, type KeyObject, randomBytes } from 'node:crypto';
import { z } from 'zod';

/** A private key as it lies in a file when a secret of the system's key store locks it. */
export interface WrappedKey {
  /** Under this name the key store has the secret. */
  readonly name: string;
  /** SubjectPublicKeyInfo (DER), base64: tells whose key this is while it is locked. */
  readonly publicKey: string;
  readonly nonce: string;
  /** PKCS #8 (DER), encrypted, and the authentication tag; base64. */
  readonly sealed: string;
}

const wrappedSchema = z.object({
  name: z.uuid(),
  publicKey: z.base64(),
  nonce: z.base64(),
  sealed: z.base64(),
});

const begin = '-----BEGIN BANDWRIGHT LOCKED KEY-----';
const end = '-----END BANDWRIGHT LOCKED KEY-----';
// AES-256-GCM (NIST SP 800-38D): nonce of 96 bits, tag of 128. Each secret locks one key once.
const algorithm = 'aes-256-gcm';
const nonceBytes = 12;
const tagBytes = 16;

/** A new secret for one key, 256 bits, base64. */
export function createSecret(): string {
  return randomBytes(32).toString('base64');
}

/** Locks a private key; the result is the text of its file. */
export function lockKey(privateKey: KeyObject, publicKey: string, name: string, secret: string): string {
  const nonce = randomBytes(nonceBytes);
  const cipher = createCipheriv(algorithm, Buffer.from(secret, 'base64'), nonce);
  cipher.setAAD(boundTo(name, publicKey));
  const plain = privateKey.export({ type: 'pkcs8', format: 'der' });
  const sealed = Buffer.concat([cipher.update(plain), cipher.final(), cipher.getAuthTag()]);
  const wrapped: WrappedKey = {
    name,
    publicKey,
    nonce: nonce.toString('base64'),
    sealed: sealed.toString('base64'),
  };
  const body = Buffer.from(JSON.stringify(wrapped)).toString('base64').replaceAll(/.{64}/g, '$&\n');
  return `Locked by the system's key store: of use only to the account that locked it.\n${begin}\n${body}\n${end}\n`;
}

/** What a file holds between its marks; undefined where there are none, or nothing of ours between them. */
export function readWrappedKey(text: string): WrappedKey | undefined {
  const [, body] = text.split(begin);
  if (body === undefined) return undefined;
  try {
    return wrappedSchema.parse(JSON.parse(Buffer.from(body.split(end)[0] ?? '', 'base64').toString('utf8')));
  } catch {
    return undefined;
  }
}

/** Unlocks it; undefined when the secret is not the one, or a byte was changed. */
export function unlockKey(wrapped: WrappedKey, secret: string): KeyObject | undefined {
  const sealed = Buffer.from(wrapped.sealed, 'base64');
  try {
    const decipher = createDecipheriv(
      algorithm,
      Buffer.from(secret, 'base64'),
      Buffer.from(wrapped.nonce, 'base64'),
      { authTagLength: tagBytes },
    );
    decipher.setAAD(boundTo(wrapped.name, wrapped.publicKey));
    decipher.setAuthTag(sealed.subarray(-tagBytes));
    const plain = Buffer.concat([decipher.update(sealed.subarray(0, -tagBytes)), decipher.final()]);
    return createPrivateKey({ key: plain, format: 'der', type: 'pkcs8' });
  } catch {
    return undefined;
  }
}

function boundTo(name: string, publicKey: string): Buffer {
  return Buffer.from(`${name}\n${publicKey}`);
}
