import { join } from 'node:path';
import { fromEvidence } from './evidence-look.ts';
import { isOpenToOthers, modeOf } from './file-mode.ts';
import type { HealthFinding } from './health.ts';
import { readSigningKey, signingKeyFile } from './signing-key.ts';
import { readStationKeys, type StationKey } from './store/known-keys.ts';
import { keyStateOf } from './store/station-key.ts';

/** Looks whether the signing key is there and its owner's alone. */
export function checkKey(dataFolder: string): HealthFinding {
  const subject = 'signing key';
  const file = join(dataFolder, signingKeyFile);
  const current = stationKeyOf(dataFolder);
  if (keyStateOf(dataFolder, current) === 'lost') {
    const sentence = `the private half of key ${current?.keyId.slice(0, 16)}… is lost; put its ${signingKeyFile} back, or see key --help`;
    return { subject, verdict: 'bad', sentence, details: { keyId: current?.keyId ?? null } };
  }
  const key = readSigningKey(dataFolder);
  if (key === undefined) {
    return { subject, verdict: 'note', sentence: 'is not there yet; the first start makes it', details: {} };
  }
  const { keyId } = key;
  const mode = modeOf(file);
  const details = { keyId, mode };
  if (isOpenToOthers(file)) {
    const sentence = `others may read ${signingKeyFile} (mode ${mode}) and sign with it; chmod 600 it, and think of a new key`;
    return { subject, verdict: 'bad', sentence, details };
  }
  return { subject, verdict: 'good', sentence: `usable, mode ${mode}, id ${keyId.slice(0, 16)}…`, details };
}

/** The key that the chain goes on with, as far as the chain can be read. */
function stationKeyOf(dataFolder: string): StationKey | undefined {
  return fromEvidence(dataFolder, (evidence) => readStationKeys(evidence).at(-1));
}
