import {
  adoptNextSigningKey,
  lookAtNextSigningKey,
  lookAtSigningKey,
  openSigningKey,
  readSigningKey,
  type SigningKey,
  signingKeyFile,
} from '../signing-key.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import { readStationKeys, type StationKey } from './known-keys.ts';
import type { Store } from './store.ts';
import { StoreFault, type StoreFaultCode } from './store-fault.ts';

/**
 * The private key that the chain goes on with: on the first run a new one. A change of keys that was cut short
 * between the chain and the file is carried on.
 *
 * @throws StoreFault `key_lost` when the folder does not hold it, `key_unusable`, `key_locked`
 */
export function findStationKey(folder: string, reader: EvidenceReader): SigningKey {
  const current = readStationKeys(reader).at(-1);
  if (current === undefined) return openSigningKey(folder);
  const key = lookAtSigningKey(folder);
  if (key?.keyId !== current.keyId && lookAtNextSigningKey(folder)?.keyId === current.keyId) {
    adoptNextSigningKey(folder);
    return openSigningKey(folder);
  }
  if (key?.keyId === current.keyId) return openSigningKey(folder);
  const what =
    key === undefined
      ? `${signingKeyFile} is missing`
      : `${signingKeyFile} holds key ${key.keyId.slice(0, 16)}…, not the station's`;
  throw new StoreFault(
    'key_lost',
    `${what}; put the file of key ${current.keyId.slice(0, 16)}… back, or let an administrator go on with a new key by the command "key replace"`,
  );
}

/** Whether a data folder holds the private half of the key that a chain goes on with, and may use it. */
export type KeyState = 'here' | 'locked' | 'lost' | 'unusable';

const keyStates: Partial<Record<StoreFaultCode, KeyState>> = {
  key_locked: 'locked',
  key_lost: 'lost',
  key_unusable: 'unusable',
};

/**
 * Changes nothing: also for a chain that is not in the folder yet.
 *
 * @param isOpened false: beside a working station, which has it open, the key store is not asked
 */
export function keyStateOf(folder: string, current: StationKey | undefined, isOpened = true): KeyState {
  try {
    // The next one is the station's already when a change was cut short: the next start carries it on.
    const held = [lookAtSigningKey(folder), lookAtNextSigningKey(folder)];
    if (current !== undefined && !held.some((key) => key?.keyId === current.keyId)) return 'lost';
    if (isOpened) readSigningKey(folder);
    return 'here';
  } catch (error) {
    const state = error instanceof StoreFault ? keyStates[error.code] : undefined;
    if (state !== undefined) return state;
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
