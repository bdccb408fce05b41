import { createPrivateKey } from 'node:crypto';
import { chmodSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { isSignedBy, openSigningKey, signingKeyOf } from '../../electron/station/signing-key.ts';
import { sha256 } from '../../electron/station/store/sha256.ts';
import { temporaryFolder } from './store/bench.ts';

/** RFC 8032, section 7.1: secret key, public key, message, signature. */
const vectors: readonly (readonly [string, string, string, string])[] = [
  [
    '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60',
    'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    '',
    'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  ],
  [
    '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb',
    '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    '72',
    '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  ],
];
/** DER in front of the 32 bytes of a key (RFC 8410, 7 and 4). */
const privatePrefix = '302e020100300506032b657004220420';
const publicPrefix = '302a300506032b6570032100';

describe('the signing key', () => {
  it('signs as the test vectors of RFC 8032, 7.1 say', () => {
    for (const [secret, open, message, signature] of vectors) {
      const der = Buffer.from(privatePrefix + secret, 'hex');
      const key = signingKeyOf(createPrivateKey({ key: der, format: 'der', type: 'pkcs8' }));
      expect(Buffer.from(key.publicKey, 'base64').toString('hex')).toBe(publicPrefix + open);
      const text = Buffer.from(message, 'hex').toString('latin1');
      expect(Buffer.from(key.sign(text)).toString('hex')).toBe(signature);
      expect(isSignedBy(key.publicKey, text, Buffer.from(signature, 'hex'))).toBe(true);
      expect(isSignedBy(key.publicKey, `${text}.`, Buffer.from(signature, 'hex'))).toBe(false);
    }
  });

  it('is made once, for its owner alone, and stays the same', () => {
    const folder = temporaryFolder();
    const key = openSigningKey(folder);
    expect(statSync(join(folder, 'signing-key.pem')).mode & 0o777).toBe(0o600);
    expect(openSigningKey(folder).keyId).toBe(key.keyId);
    expect(key.keyId).toBe(sha256(Buffer.from(key.publicKey, 'base64')));
  });

  it('is not overwritten when its file is spoiled', () => {
    const folder = temporaryFolder();
    openSigningKey(folder);
    const file = join(folder, 'signing-key.pem');
    chmodSync(file, 0o600);
    writeFileSync(file, 'spoiled');
    expect(() => openSigningKey(folder)).toThrow(expect.objectContaining({ code: 'key_unusable' }));
    expect(readFileSync(file, 'utf8')).toBe('spoiled');
  });

  it('believes no public key that is none', () => {
    expect(isSignedBy('', 'text', new Uint8Array(64))).toBe(false);
    expect(isSignedBy('AAAA', 'text', new Uint8Array(64))).toBe(false);
  });
});

describe('SHA-256', () => {
  it('gives the examples of FIPS 180-4', () => {
    expect(sha256('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    expect(sha256('')).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
    expect(sha256('abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq')).toBe(
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    );
  });
});
