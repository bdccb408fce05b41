import type { Unsubscribe } from './byte-port.ts';

/** What a device says about itself, and where it is plugged in. Whatever is not known is left out. */
export interface PortIdentity {
  readonly transport: 'serial' | 'hid';
  /** USB vendor and product, four hexadecimal digits in small letters. */
  readonly vendorId?: string;
  readonly productId?: string;
  readonly serialNumber?: string;
  /** Name in `/dev/serial/by-id`, or the system's own device id. */
  readonly byId?: string;
  /** Name of the physical socket, from `/dev/serial/by-path`. */
  readonly byPath?: string;
  /** Path of the device when it was chosen; the only identity of a port that is built in. */
  readonly path: string;
}

/** One port of the list. */
export interface ListedPort {
  /** Path under which it can be opened now. */
  readonly path: string;
  readonly identity: PortIdentity;
  /** What tells this device from every other one in the list. */
  readonly knownBy: 'serial number' | 'device' | 'socket' | 'path';
  readonly manufacturer?: string;
  readonly product?: string;
  /** True for a HID device which says that it is a scale (usage page 8D, usage 20). */
  readonly isScale: boolean;
}

/** What a source of ports reports, before identity is worked out. */
export type RawPort = Omit<ListedPort, 'knownBy'>;

/** Lists the ports of this moment. Injectable, because a pseudo-terminal is never listed. */
export type PortLister = () => Promise<readonly ListedPort[]>;

/**
 * Works out what each device can be known by. Two devices with equal vendor, product and serial number (or without
 * one) are twins: they are only told apart by the socket they are plugged into.
 */
export function identifyPorts(raw: readonly RawPort[]): readonly ListedPort[] {
  const count = new Map<string, number>();
  for (const port of raw) {
    const key = deviceKey(port.identity);
    if (key !== undefined) count.set(key, (count.get(key) ?? 0) + 1);
  }
  return raw.map((port) => {
    const key = deviceKey(port.identity);
    const twin = key !== undefined && (count.get(key) ?? 0) > 1;
    return { ...port, knownBy: knownBy(port.identity, key !== undefined && !twin) };
  });
}

function knownBy(identity: PortIdentity, unique: boolean): ListedPort['knownBy'] {
  if (unique && identity.serialNumber !== undefined) return 'serial number';
  if (identity.byPath !== undefined) return 'socket';
  return unique ? 'device' : 'path';
}

function deviceKey(identity: PortIdentity): string | undefined {
  const { transport, vendorId, productId, serialNumber } = identity;
  if (vendorId === undefined || productId === undefined) return undefined;
  return [transport, vendorId, productId, serialNumber ?? ''].join(':');
}

export type PortMatch =
  | { readonly kind: 'found'; readonly port: ListedPort }
  | { readonly kind: 'absent' }
  /** Several devices could be it; a person has to choose. */
  | { readonly kind: 'ambiguous'; readonly ports: readonly ListedPort[] };

/** Finds a device again among the ports of this moment, although its path may have changed. */
export function findPort(wanted: PortIdentity, ports: readonly ListedPort[]): PortMatch {
  const key = deviceKey(wanted);
  const alike = ports.filter((port) =>
    key === undefined
      ? port.identity.transport === wanted.transport && deviceKey(port.identity) === undefined
      : deviceKey(port.identity) === key,
  );
  if (key === undefined) {
    const same = alike.find((port) => port.path === wanted.path);
    return same === undefined ? { kind: 'absent' } : { kind: 'found', port: same };
  }
  const [only, ...others] = alike;
  if (only === undefined) return { kind: 'absent' };
  // Without a serial number the same model in another socket may be another instrument.
  const sure = wanted.serialNumber !== undefined || wanted.byPath === undefined;
  if (others.length === 0 && sure) return { kind: 'found', port: only };
  const sameSocket = alike.find(
    (port) => wanted.byPath !== undefined && port.identity.byPath === wanted.byPath,
  );
  if (sameSocket !== undefined) return { kind: 'found', port: sameSocket };
  return { kind: 'ambiguous', ports: alike };
}

/** The path of a device at this moment, for `locate` of a port; undefined while it is absent or not clear. */
export function createLocator(identity: PortIdentity, list: PortLister): () => Promise<string | undefined> {
  return async () => {
    const match = findPort(identity, await list());
    return match.kind === 'found' ? match.port.path : undefined;
  };
}

export interface PortWatch {
  /** The list of the last look. */
  readonly ports: readonly ListedPort[];
  /** Tells what came and what went, after each look that found a change. */
  onChange(listener: (change: PortChange) => void): Unsubscribe;
  stop(): void;
}

export interface PortChange {
  readonly ports: readonly ListedPort[];
  readonly arrived: readonly ListedPort[];
  readonly gone: readonly ListedPort[];
}

/** Compares two lists by path and device. */
export function compareLists(before: readonly ListedPort[], after: readonly ListedPort[]): PortChange {
  const name = (port: ListedPort) => `${port.path} ${deviceKey(port.identity) ?? ''}`;
  const old = new Set(before.map(name));
  const fresh = new Set(after.map(name));
  return {
    ports: after,
    arrived: after.filter((port) => !old.has(name(port))),
    gone: before.filter((port) => !fresh.has(name(port))),
  };
}
