import {
  adoptNextSigningKey,
  openSigningKey,
  readNextSigningKey,
  readSigningKey,
  type SigningKey,
  signingKeyFile,
} from '../signing-key.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import { readStationKeys, type StationKey } from './known-keys.ts';
import type { Store } from './store.ts';
import { StoreFault } from './store-fault.ts';

/**
 * The private key that the chain goes on with: on the first run a new one. A change of keys that was cut short
 * between the chain and the file is carried on.
 *
 * @throws StoreFault `key_lost` when the folder does not hold it, `key_unusable`
 */
export function findStationKey(folder: string, reader: EvidenceReader): SigningKey {
  const current = readStationKeys(reader).at(-1);
  if (current === undefined) return openSigningKey(folder);
  const key = readSigningKey(folder);
  if (key?.keyId === current.keyId) return key;
  const next = readNextSigningKey(folder);
  if (next?.keyId === current.keyId) {
    adoptNextSigningKey(folder);
    return next;
  }
  const what =
    key === undefined
      ? `${signingKeyFile} is missing`
      : `${signingKeyFile} holds key ${key.keyId.slice(0, 16)}…, not the station's`;
  throw new StoreFault(
    'key_lost',
    `${what}; put the file of key ${current.keyId.slice(0, 16)}… back, or let an administrator go on with a new key by the command "key replace"`,
  );
}

/** Whether a data folder holds the private half of the key that a chain goes on with. */
export type KeyState = 'here' | 'lost' | 'unusable';

/** Looks without changing anything: beside a working station, or for a chain that is not in the folder yet. */
export function keyStateOf(folder: string, current: StationKey | undefined): KeyState {
  try {
    // The next one is the station's already when a change was cut short: the next start carries it on.
    const held = [readSigningKey(folder), readNextSigningKey(folder)];
    return current === undefined || held.some((key) => key?.keyId === current.keyId) ? 'here' : 'lost';
  } catch (error) {
    if (error instanceof StoreFault && error.code === 'key_unusable') return 'unusable';
    throw error;
  }
}

/** The first public key stands in the chain before anything that it signs. */
export function introduceFirstKey(store: Store, key: SigningKey, createId: () => string): void {
  if (readStationKeys(store).length > 0) return;
  store.append({
    stream: 'station',
    expectedVersion: store.versionOf('station'),
    personId: null,
    events: [keyIntroduction(key, { stationId: createId() })],
  });
}

/** The event that brings a key. */
export function keyIntroduction(
  { keyId, publicKey }: SigningKey,
  more: { readonly stationId: string } | { readonly replaces: string; readonly voucher?: string },
) {
  return { kind: 'keyIntroduced', body: { algorithm: 'Ed25519', keyId, publicKey, ...more } };
}
