import { readFileSync, statSync } from 'node:fs';
import { BlockList, isIP } from 'node:net';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { isOpenToOthers, modeOf } from '../file-mode.ts';

/** Where the site store is and who asks, as it is given on a command line or in a file. */
export interface SiteWish {
  /** `postgresql://LOGIN@HOST:PORT/DATABASE`, without a password. */
  readonly url: string;
  /** Path of a file that holds the password and is its owner's alone. */
  readonly passwordFile?: string | undefined;
  /** Path of a PEM file: the authority that signed the server's certificate. Left out: those that the system trusts. */
  readonly authorityFile?: string | undefined;
}

/** A checked wish, ready to connect with. */
export interface SiteAccess {
  readonly host: string;
  readonly port: number;
  readonly login: string;
  readonly database: string;
  readonly password: string | undefined;
  /** False on loopback without an authority; everywhere else the server must prove its name. */
  readonly tls: { readonly authority: string | undefined } | false;
}

const loopback = new BlockList();
loopback.addSubnet('127.0.0.0', 8, 'ipv4');
loopback.addAddress('::1', 'ipv6');

/** Checks a wish and reads its files. Nothing is connected. */
export function siteAccess(wish: SiteWish): Result<SiteAccess> {
  const url = URL.canParse(wish.url) ? new URL(wish.url) : undefined;
  if (url === undefined || !/^postgres(ql)?:$/.test(url.protocol)) {
    return refuse(
      'site_url',
      'site',
      'is no address; write it like postgresql://bench-3@site.example:5432/site',
    );
  }
  if (url.password !== '') {
    return refuse(
      'site_url',
      'site',
      'holds a password, which every list of processes would show; put it into a file',
    );
  }
  if (url.search !== '' || url.hash !== '') {
    return refuse('site_url', 'site', 'ends with options; leave out what stands behind the database');
  }
  const database = decodeURIComponent(url.pathname.slice(1));
  if (url.username === '' || database === '') {
    return refuse(
      'site_url',
      'site',
      'names no login or no database; write it like postgresql://bench-3@site.example:5432/site',
    );
  }
  const host = url.hostname.replace(/^\[(.*)\]$/, '$1');
  const password = wish.passwordFile === undefined ? ok(undefined) : readPassword(wish.passwordFile);
  if (!password.ok) return password;
  const authority = wish.authorityFile === undefined ? ok(undefined) : readAuthority(wish.authorityFile);
  if (!authority.ok) return authority;
  return ok({
    host,
    port: url.port === '' ? 5432 : Number(url.port),
    login: decodeURIComponent(url.username),
    database,
    password: password.value,
    tls: authority.value === undefined && isHere(host) ? false : { authority: authority.value },
  });
}

function isHere(host: string): boolean {
  const family = isIP(host);
  if (family === 0) return host === 'localhost';
  return loopback.check(host, family === 6 ? 'ipv6' : 'ipv4');
}

function readPassword(file: string): Result<string> {
  const text = readText(file, 'password-file');
  if (!text.ok) return text;
  if (isOpenToOthers(file)) {
    return refuse(
      'site_password',
      'password-file',
      `others may read ${file} (mode ${modeOf(file)}); chmod 600 it`,
    );
  }
  const password = text.value.replace(/\r?\n$/, '');
  if (password !== '' && !/[\r\n]/.test(password)) return ok(password);
  return refuse(
    'site_password',
    'password-file',
    `${file} must hold the password on one line and nothing else`,
  );
}

function readAuthority(file: string): Result<string> {
  const text = readText(file, 'authority');
  if (!text.ok || text.value.includes('-----BEGIN CERTIFICATE-----')) return text;
  return refuse('site_authority', 'authority', `${file} holds no certificate in PEM`);
}

function readText(file: string, field: string): Result<string> {
  try {
    if (!statSync(file).isFile()) return refuse('site_file', field, `${file} is no file; name one`);
    return ok(readFileSync(file, 'utf8'));
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    return refuse('site_file', field, `${file} cannot be read (${code}); give the path of an existing file`);
  }
}
