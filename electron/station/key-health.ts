import { join } from 'node:path';
import { fromEvidence } from './evidence-look.ts';
import { isOpenToOthers, modeOf } from './file-mode.ts';
import type { HealthFinding } from './health.ts';
import { lookAtSigningKey, signingKeyFile } from './signing-key.ts';
import { isHeld } from './store/folder-lock.ts';
import { readStationKeys, type StationKey } from './store/known-keys.ts';
import { keyStateOf } from './store/station-key.ts';
import { keyStoreName } from './system-key-store.ts';

/** Looks whether the signing key is there, may be used, and what keeps others from it. */
export function checkKey(dataFolder: string): HealthFinding {
  const subject = 'signing key';
  const file = join(dataFolder, signingKeyFile);
  const current = stationKeyOf(dataFolder);
  const isOpened = isHeld(dataFolder);
  const state = keyStateOf(dataFolder, current, !isOpened);
  const store = keyStoreName(process.platform);
  const values = current === undefined ? {} : { keyId: current.keyId.slice(0, 16) };
  if (state === 'locked') {
    const sentence = `is locked, and the ${store} of this account does not open; unlock it, or run doctor in the account that the station works in`;
    return {
      subject,
      verdict: 'bad',
      code: 'keyLocked',
      values,
      sentence,
      details: { keyId: current?.keyId ?? null, state },
    };
  }
  if (state === 'lost') {
    const sentence = `the private half of key ${current?.keyId.slice(0, 16)}… is lost; put its ${signingKeyFile} back, or see key --help`;
    return {
      subject,
      verdict: 'bad',
      code: 'keyLost',
      values,
      sentence,
      details: { keyId: current?.keyId ?? null, state },
    };
  }
  if (state === 'unusable') {
    const sentence = `${signingKeyFile} holds no usable key; put the right file back, or see key --help`;
    return {
      subject,
      verdict: 'bad',
      code: 'keyUnusable',
      values,
      sentence,
      details: { keyId: current?.keyId ?? null, state },
    };
  }
  const key = lookAtSigningKey(dataFolder);
  if (key === undefined) {
    const sentence = 'is not there yet; the first start makes it';
    return { subject, verdict: 'note', code: 'keyMissing', values: {}, sentence, details: {} };
  }
  const { keyId, protection } = key;
  const mode = modeOf(file);
  const details = { keyId, mode, protection };
  if (isOpenToOthers(file)) {
    const sentence = `others may read ${signingKeyFile} (mode ${mode}) and sign with it; chmod 600 it, and think of a new key`;
    return { subject, verdict: 'bad', code: 'keyOpenToOthers', values: { mode }, sentence, details };
  }
  const how = protection === 'file' ? 'a plain file' : `locked by the ${store} of this account`;
  const used = isOpened ? 'in use' : 'usable';
  const sentence = `${used}, ${how}, mode ${mode}, id ${keyId.slice(0, 16)}…`;
  const code = protection === 'file' ? 'keyInFile' : 'keyInStore';
  return {
    ...{ subject, verdict: 'good', code, sentence, details },
    values: { mode, keyId: keyId.slice(0, 16) },
  };
}

/** The key that the chain goes on with, as far as the chain can be read. */
function stationKeyOf(dataFolder: string): StationKey | undefined {
  return fromEvidence(dataFolder, (evidence) => readStationKeys(evidence).at(-1));
}
