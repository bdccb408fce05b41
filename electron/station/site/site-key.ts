import { createPrivateKey, createPublicKey, generateKeyPairSync } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { isOpenToOthers, modeOf } from '../file-mode.ts';
import { type SigningKey, signingKeyOf } from '../signing-key.ts';

/** The key that signs what the site publishes: Ed25519 (RFC 8032). Its private half is with whoever publishes. */

/** Makes a key: the private half for its owner alone, the public half beside it for the benches. */
export function createSiteKey(file: string): Result<SigningKey> {
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  try {
    writeFileSync(file, privateKey.export({ type: 'pkcs8', format: 'pem' }), { mode: 0o600, flag: 'wx' });
    writeFileSync(`${file}.public`, publicKey.export({ type: 'spki', format: 'pem' }), {
      mode: 0o644,
      flag: 'wx',
    });
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    return refuse('site_key', 'out', `${file} cannot be made (${code}); name a file that is not there yet`);
  }
  return ok(signingKeyOf(privateKey));
}

/** The private half, of a file that is its owner's alone. */
export function readPrivateSiteKey(file: string): Result<SigningKey> {
  try {
    if (isOpenToOthers(file))
      return refuse(
        'site_key',
        'key',
        `others may read ${file} (mode ${modeOf(file)}); chmod 600 it, and think of a new key`,
      );
    const key = createPrivateKey(readFileSync(file));
    if (key.asymmetricKeyType === 'ed25519') return ok(signingKeyOf(key));
  } catch {
    // Said below, whatever it is.
  }
  return refuse('site_key', 'key', `${file} holds no private key of the site; make one with "site key"`);
}

/** The public half as a bench pins it: SubjectPublicKeyInfo (DER), base64. */
export function readPublicSiteKey(file: string): Result<string> {
  try {
    const text = readFileSync(file, 'utf8');
    // A private key would be taken too, and does not belong on a bench.
    const key = text.includes('PRIVATE KEY') ? undefined : createPublicKey(text);
    if (key?.asymmetricKeyType === 'ed25519')
      return ok(key.export({ type: 'spki', format: 'der' }).toString('base64'));
  } catch {
    // Said below, whatever it is.
  }
  return refuse(
    'site_key',
    'key',
    `${file} holds no public key of a site (Ed25519, PEM); give the file that ends with .public`,
  );
}
