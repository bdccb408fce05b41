import type { IncomingMessage } from 'node:http';
import { isIPv6 } from 'node:net';

/** What the door of another desk knows about itself. */
export interface RemoteDoor {
  readonly isSecure: boolean;
  readonly names: readonly string[];
  readonly port: number;
}

/** `__Host-` binds the cookie to this very host and to TLS (RFC 6265bis). */
export function remoteCookieName({ isSecure }: Pick<RemoteDoor, 'isSecure'>): string {
  return isSecure ? '__Host-bandwright-desk' : 'bandwright-desk';
}

export function remoteCookie(door: Pick<RemoteDoor, 'isSecure'>, token: string): string {
  return `${remoteCookieName(door)}=${token}; HttpOnly; SameSite=Strict; Path=/${door.isSecure ? '; Secure' : ''}`;
}

/** The session cookie of a request, if any. */
export function readRemoteCookie(
  request: IncomingMessage,
  door: Pick<RemoteDoor, 'isSecure'>,
): string | undefined {
  const wanted = remoteCookieName(door);
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [name, value] = part.trim().split('=');
    if (name === wanted && value !== undefined && /^[\w-]{43}$/.test(value)) return value;
  }
  return undefined;
}

/** A request for one of the names that this door was given: any other is a rebinding attack or a mistake. */
export function isNamedHost(request: IncomingMessage, door: RemoteDoor): boolean {
  return hostsOf(door).includes(request.headers.host?.toLowerCase() ?? '');
}

/** A WebSocket opened by our own page: browsers always send `Origin` and pages cannot forge it. */
export function isNamedOrigin(request: IncomingMessage, door: RemoteDoor): boolean {
  const scheme = door.isSecure ? 'https' : 'http';
  const origins = hostsOf(door).map((host) => `${scheme}://${host}`);
  return origins.includes(request.headers.origin?.toLowerCase() ?? '');
}

/** As browsers write them: without the port where it is that of the scheme. */
function hostsOf({ names, port, isSecure }: RemoteDoor): string[] {
  const suffix = port === (isSecure ? 443 : 80) ? '' : `:${port}`;
  return names.map((name) => `${isIPv6(name) ? `[${name}]` : name}${suffix}`);
}

/** Whose tries are counted together: an address, of IPv6 its network of 64 bits, which one customer has whole. */
export function callerOf(request: IncomingMessage): string {
  const address = (request.socket.remoteAddress ?? '').replace(/^::ffff:(?=\d+\.)/, '');
  if (!isIPv6(address)) return address;
  const [head = '', tail] = address.split('::');
  const first = head === '' ? [] : head.split(':');
  const last = tail === undefined || tail === '' ? [] : tail.split(':');
  const zeros = tail === undefined ? 0 : Math.max(0, 8 - first.length - last.length);
  return [...first, ...Array<string>(zeros).fill('0'), ...last].slice(0, 4).join(':');
}
