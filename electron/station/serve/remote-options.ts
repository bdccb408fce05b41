import { createPrivateKey, type KeyObject, X509Certificate } from 'node:crypto';
import { lookup } from 'node:dns/promises';
import { readFile } from 'node:fs/promises';
import { BlockList, isIP } from 'node:net';
import { ok, type Result, refuse } from '../../../shared/result.ts';

/** As it is given on a command line or in a file. */
export interface RemoteWish {
  /** `HOST:PORT`; the host is a name or address of this machine. */
  readonly listen: string;
  /** Further names under which the page is opened. */
  readonly names?: readonly string[] | undefined;
  /** Paths of PEM files; needed beyond this machine. */
  readonly certificate?: string | undefined;
  readonly privateKey?: string | undefined;
}

/** Where and as what the page is served to other desks. */
export interface RemoteOptions {
  readonly host: string;
  readonly port: number;
  /** Names that a browser may have in its address bar, lower case, without port. */
  readonly names: readonly string[];
  /** Null on this machine alone. */
  readonly tls: { readonly certificate: string; readonly privateKey: string } | null;
  /** When the certificate ends, ISO 8601; null without one. */
  readonly certificateEnds: string | null;
}

const listenShape = /^(?:\[([0-9a-fA-F:.]+)\]|([^:[\]\s]+)):(\d{1,5})$/;
const everywhere: ReadonlySet<string> = new Set(['0.0.0.0', '::']);

const loopback = new BlockList();
loopback.addSubnet('127.0.0.0', 8, 'ipv4');
loopback.addAddress('::1', 'ipv6');

/**
 * Checks what was asked for before anything is opened: beyond this machine only with a certificate that is in its time,
 * bears every name, and belongs to the key.
 *
 * @param now milliseconds since 1970
 */
export async function remoteOptions(wish: RemoteWish, now: number): Promise<Result<RemoteOptions>> {
  const [, six, other, portText] = listenShape.exec(wish.listen) ?? [];
  const host = (six ?? other ?? '').toLowerCase();
  const port = Number(portText);
  if (host === '' || !(port >= 0 && port <= 65_535)) {
    return refuse(
      'remote_address',
      'remote',
      `"${wish.listen}" is no HOST:PORT; write it like desk.example:8443`,
    );
  }
  const isEverywhere = everywhere.has(host);
  const names = [...(isEverywhere ? [] : [host]), ...(wish.names ?? []).map((name) => name.toLowerCase())];
  if (names.length === 0) {
    return refuse(
      'remote_name',
      'remote-name',
      `${host} is every address of this machine; name the one that browsers will open`,
    );
  }
  const isHere = !isEverywhere && (await isThisMachineOnly(host));
  if (isHere === null) {
    return refuse('remote_address', 'remote', `"${host}" is no name or address that this machine knows`);
  }
  const { certificate, privateKey } = wish;
  if (certificate === undefined || privateKey === undefined) {
    if (certificate !== privateKey) {
      const missing = certificate === undefined ? 'certificate' : 'private-key';
      return refuse(
        'remote_certificate',
        missing,
        'missing; a certificate and its private key come together',
      );
    }
    if (isHere) return ok({ host, port, names, tls: null, certificateEnds: null });
    return refuse(
      'remote_certificate',
      'certificate',
      `missing; beyond this machine the page is served with a certificate of the workshop only (${host} is beyond it)`,
    );
  }
  const tls = await readTls(certificate, privateKey, names, now);
  return tls.ok ? ok({ host, port, names, ...tls.value }) : tls;
}

/** True for loopback alone; null for a name that is none. */
async function isThisMachineOnly(host: string): Promise<boolean | null> {
  try {
    const found =
      isIP(host) === 0 ? await lookup(host, { all: true }) : [{ address: host, family: isIP(host) }];
    return found.every(({ address, family }) => loopback.check(address, family === 6 ? 'ipv6' : 'ipv4'));
  } catch {
    return null;
  }
}

async function readTls(
  certificateFile: string,
  keyFile: string,
  names: readonly string[],
  now: number,
): Promise<Result<Pick<RemoteOptions, 'tls' | 'certificateEnds'>>> {
  const certificateText = await readText(certificateFile, 'certificate');
  if (!certificateText.ok) return certificateText;
  const keyText = await readText(keyFile, 'private-key');
  if (!keyText.ok) return keyText;
  const certificate = parsed(() => new X509Certificate(certificateText.value));
  if (certificate === undefined)
    return refuse('remote_certificate', 'certificate', 'is no certificate in PEM');
  const key = parsed((): KeyObject => createPrivateKey(keyText.value));
  if (key === undefined) {
    return refuse(
      'remote_certificate',
      'private-key',
      'is no private key in PEM that opens without a password',
    );
  }
  if (!certificate.checkPrivateKey(key)) {
    return refuse('remote_certificate', 'private-key', 'belongs to another certificate');
  }
  if (now < Date.parse(certificate.validFrom) || now > Date.parse(certificate.validTo)) {
    const { validFrom, validTo } = certificate;
    return refuse(
      'remote_certificate',
      'certificate',
      `is valid from ${validFrom} to ${validTo} only; renew it`,
    );
  }
  const unnamed = names.find((name) => !bears(certificate, name));
  if (unnamed !== undefined) {
    return refuse(
      'remote_certificate',
      'certificate',
      `does not bear the name ${unnamed}, so every browser would warn; it bears ${certificate.subjectAltName ?? 'none'}`,
    );
  }
  return ok({
    tls: { certificate: certificateText.value, privateKey: keyText.value },
    certificateEnds: new Date(certificate.validTo).toISOString(),
  });
}

function bears(certificate: X509Certificate, name: string): boolean {
  return (isIP(name) === 0 ? certificate.checkHost(name) : certificate.checkIP(name)) !== undefined;
}

function parsed<Value>(parse: () => Value): Value | undefined {
  try {
    return parse();
  } catch {
    return undefined;
  }
}

async function readText(file: string, field: string): Promise<Result<string>> {
  try {
    return ok(await readFile(file, 'utf8'));
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    return refuse(
      'remote_certificate',
      field,
      `${file} cannot be read (${code}); give the path of a PEM file`,
    );
  }
}
