import { createPrivateKey, generateKeyPairSync, sign } from 'node:crypto';
import { isIP } from 'node:net';

export interface TestCertificate {
  /** PEM. */
  readonly certificate: string;
  readonly privateKey: string;
}

/** A self-signed certificate (RFC 5280) on P-256 for some names, as a small workshop might make one. */
export function selfSigned(names: readonly string[], from: Date, until: Date): TestCertificate {
  const { publicKey, privateKey } = generateKeyPairSync('ec', { namedCurve: 'prime256v1' });
  const ecdsaWithSha256 = sequence(oid('2a8648ce3d040302'));
  const name = sequence(set(sequence(oid('550403'), tlv(0x0c, Buffer.from('Invented workshop')))));
  const alternatives = sequence(
    ...names.map((one) => (isIP(one) === 4 ? tlv(0x87, bytesOf(one)) : tlv(0x82, Buffer.from(one)))),
  );
  const extensions = sequence(
    sequence(oid('551d11'), tlv(0x04, alternatives)),
    sequence(
      oid('551d13'),
      tlv(0x01, Buffer.from([0xff])),
      tlv(0x04, sequence(tlv(0x01, Buffer.from([0xff])))),
    ),
  );
  const body = sequence(
    tlv(0xa0, tlv(0x02, Buffer.from([2]))),
    tlv(0x02, Buffer.from([0x51, 0x07])),
    ecdsaWithSha256,
    name,
    sequence(time(from), time(until)),
    name,
    publicKey.export({ type: 'spki', format: 'der' }),
    tlv(0xa3, extensions),
  );
  const signature = sign('sha256', body, privateKey);
  const der = sequence(body, ecdsaWithSha256, tlv(0x03, Buffer.concat([Buffer.from([0]), signature])));
  return {
    certificate: `-----BEGIN CERTIFICATE-----\n${der.toString('base64').replaceAll(/.{64}/g, '$&\n')}\n-----END CERTIFICATE-----\n`,
    privateKey: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
  };
}

/** The same key behind a password. */
export function locked(privateKey: string): string {
  return createPrivateKey(privateKey)
    .export({ type: 'pkcs8', format: 'pem', cipher: 'aes-256-cbc', passphrase: 'secret' })
    .toString();
}

function tlv(tag: number, content: Buffer): Buffer {
  const { length } = content;
  const size = length < 128 ? [length] : length < 256 ? [0x81, length] : [0x82, length >> 8, length & 0xff];
  return Buffer.concat([Buffer.from([tag, ...size]), content]);
}

function sequence(...parts: Buffer[]): Buffer {
  return tlv(0x30, Buffer.concat(parts));
}

function set(...parts: Buffer[]): Buffer {
  return tlv(0x31, Buffer.concat(parts));
}

function oid(hex: string): Buffer {
  return tlv(0x06, Buffer.from(hex, 'hex'));
}

function time(date: Date): Buffer {
  return tlv(0x18, Buffer.from(`${date.toISOString().replaceAll(/[-:T]/g, '').slice(0, 14)}Z`));
}

function bytesOf(address: string): Buffer {
  return Buffer.from(address.split('.').map(Number));
}
