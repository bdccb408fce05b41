import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';

/** A key that opens the door once; the next one is made when it has been used. */
export class OneTimeKey {
  #value = randomBytes(24).toString('base64url');

  get value(): string {
    return this.#value;
  }

  /** True once for the right key; the key is spent then. */
  spend(offered: string): boolean {
    if (!equalInConstantTime(offered, this.#value)) return false;
    this.#value = randomBytes(24).toString('base64url');
    return true;
  }
}

export const cookieName = 'bandwright';

/** The session cookie of a request, if any. */
export function readCookie(request: IncomingMessage): string | undefined {
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [name, value] = part.trim().split('=');
    if (name === cookieName && value !== undefined && /^[\w-]{43}$/.test(value)) return value;
  }
  return undefined;
}

/** The address that a request asks for; undefined where it is none, such as `//`. Its host means nothing. */
export function addressOf({ url = '/' }: IncomingMessage): URL | undefined {
  const base = 'http://127.0.0.1';
  return URL.canParse(url, base) ? new URL(url, base) : undefined;
}

/** A request for our own address: another name for 127.0.0.1 in `Host` is a rebinding attack. */
export function isOurHost(request: IncomingMessage, port: number): boolean {
  return request.headers.host === `127.0.0.1:${port}` || request.headers.host === `localhost:${port}`;
}

/** A WebSocket opened by our own page: browsers always send `Origin` and pages cannot forge it. */
export function isOurOrigin(request: IncomingMessage, port: number): boolean {
  return (
    request.headers.origin === `http://127.0.0.1:${port}` ||
    request.headers.origin === `http://localhost:${port}`
  );
}

/** Headers of every answer: nothing from elsewhere is loaded, framed or guessed. */
export const answerHeaders: Readonly<Record<string, string>> = {
  'Content-Security-Policy':
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data: blob:; font-src 'self'; media-src 'self'; frame-src 'none'; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=()',
};

function equalInConstantTime(left: string, right: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(left), digest(right));
}
