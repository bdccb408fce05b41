import { existsSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { toBase64 } from '../../../shared/evidence/base64.ts';
import { keyVoucherText } from '../../../shared/evidence/key-voucher.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { KeyProtection } from '../key-file.ts';
import {
  adoptNextSigningKey,
  createNextSigningKey,
  lookAtSigningKey,
  protectSigningKey,
  readSigningKey,
  signingKeyFile,
} from '../signing-key.ts';
import type { EvidenceReader } from './evidence-reader.ts';
import { readStationKeys } from './known-keys.ts';
import { openStore, openStoreWith, type StoreOptions } from './open-store.ts';
import { findStationKey, keyIntroduction } from './station-key.ts';
import type { Store } from './store.ts';
import { StoreFault, withFaults } from './store-fault.ts';
import { syncFolder } from './sync.ts';

/** Ids of the key that signed and of the one that signs from now on. */
export interface KeyChanged {
  readonly from: string;
  readonly to: string;
}

/**
 * Changes the key of a station that holds its old one: the old key vouches for the new one and seals that it did,
 * then its private half is gone. Cut short anywhere, the folder opens with the old key or with the new one. The new
 * one is protected as the old one is.
 *
 * @throws StoreFault `held` while a station works there, `key_lost`, `key_locked`
 */
export function rotateKey(options: StoreOptions, personId: string): KeyChanged {
  const { folder } = options;
  const store = openStore(options);
  try {
    return withFaults(() => {
      const old = readSigningKey(folder);
      if (old === undefined) throw new StoreFault('key_lost', `${signingKeyFile} went missing just now`);
      const next = createNextSigningKey(folder, lookAtSigningKey(folder)?.protection ?? 'file');
      const change = { keyId: next.keyId, replaces: old.keyId };
      const voucher = toBase64(old.sign(keyVoucherText(change)));
      appendIntroduction(store, keyIntroduction(next, { replaces: old.keyId, voucher }), personId);
      adoptNextSigningKey(folder);
      return { from: old.keyId, to: next.keyId };
    });
  } finally {
    store.close();
  }
}

/**
 * Lets a station whose key is lost go on with a new one that nothing vouches for: `verify` names it from then on.
 * A file that holds another key is kept aside. The new one is a plain file: the key store may be what was lost.
 *
 * @returns the change, or the refusal `key_here` when the key is not lost
 * @throws StoreFault `held` while a station works there
 */
export function replaceLostKey(options: StoreOptions, personId: string): Result<KeyChanged> {
  const { folder, clock } = options;
  let from: string | undefined;
  const store = openStoreWith(
    options,
    (_, reader) => {
      from = isLost(folder, reader) ? readStationKeys(reader).at(-1)?.keyId : undefined;
      return from === undefined ? findStationKey(folder, reader) : createNextSigningKey(folder, 'file');
    },
    (opened, key) => {
      if (from !== undefined) appendIntroduction(opened, keyIntroduction(key, { replaces: from }), personId);
    },
  );
  const to = store.keyId;
  store.close();
  if (from === undefined) {
    return refuse('key_here', 'key', 'is not lost; change it by "key rotate", so that the old key vouches');
  }
  withFaults(() => {
    setKeyFileAside(folder, clock.wallTime());
    adoptNextSigningKey(folder);
  });
  return ok({ from, to });
}

/**
 * Locks the key file by the system's key store (`keyStore`), or makes it a plain file again. The key stays the same,
 * and so does the chain. Cut short anywhere, the folder holds the old file or the new one.
 *
 * @returns the refusal `as_it_is` when it is so already
 * @throws StoreFault `held` while a station works there, `key_locked`, `key_lost`
 */
export function changeKeyProtection(options: StoreOptions, protection: KeyProtection): Result<string> {
  const store = openStore(options);
  try {
    if (lookAtSigningKey(options.folder)?.protection === protection) {
      const how = protection === 'file' ? 'a plain file' : "locked by the system's key store";
      return refuse('as_it_is', 'key', `is ${how} already; there is nothing to do`);
    }
    withFaults(() => protectSigningKey(options.folder, protection));
    return ok(store.keyId);
  } finally {
    store.close();
  }
}

function isLost(folder: string, reader: EvidenceReader): boolean {
  try {
    findStationKey(folder, reader);
    return false;
  } catch (error) {
    if (error instanceof StoreFault && (error.code === 'key_lost' || error.code === 'key_unusable'))
      return true;
    throw error;
  }
}

function setKeyFileAside(folder: string, at: string): void {
  const file = join(folder, signingKeyFile);
  if (!existsSync(file)) return;
  const stamp = new Date(at).toISOString().slice(0, 19).replaceAll(/[-:]/g, '');
  renameSync(file, join(folder, `signing-key.set-aside-${stamp}Z.pem`));
  syncFolder(folder);
}

function appendIntroduction(store: Store, event: ReturnType<typeof keyIntroduction>, personId: string): void {
  const expectedVersion = store.versionOf('station');
  const appended = store.append({ stream: 'station', expectedVersion, personId, events: [event] });
  if (!appended.ok) throw new Error(appended.error.message);
}
