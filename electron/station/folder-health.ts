import { accessSync, constants, existsSync } from 'node:fs';
import { join } from 'node:path';
import { freeBytesOf, lowBytes, lowDiskSentence } from './disk-watch.ts';
import { isOpenToOthers, modeOf } from './file-mode.ts';
import type { HealthFinding } from './health.ts';
import { isHeld } from './store/folder-lock.ts';

/** Whether the data folder may be written by this user, and looked into by others. */
export function checkFolder(dataFolder: string): HealthFinding {
  const subject = 'data folder';
  if (!existsSync(dataFolder)) {
    const sentence = 'is not there yet; the first start makes it';
    return { subject, verdict: 'note', code: 'folderMissing', values: {}, sentence, details: {} };
  }
  const mode = modeOf(dataFolder);
  const details = { mode };
  try {
    accessSync(dataFolder, constants.R_OK | constants.W_OK | constants.X_OK);
  } catch {
    const sentence = 'may not be written by this user; change its rights or name another with --data';
    return { subject, verdict: 'bad', code: 'folderShut', values: {}, sentence, details };
  }
  if (isOpenToOthers(dataFolder)) {
    const sentence = `other users may look into it (mode ${mode}); chmod 700 it`;
    return { subject, verdict: 'note', code: 'folderOpenToOthers', values: { mode }, sentence, details };
  }
  const sentence = 'is this user’s alone and may be written';
  return { subject, verdict: 'good', code: 'folderGood', values: {}, sentence, details };
}

/** Whether there is room on its disk. */
export async function checkDisk(
  dataFolder: string,
  freeBytes: (folder: string) => Promise<number> = freeBytesOf,
): Promise<HealthFinding> {
  const bytes = await freeBytes(dataFolder);
  const details = { freeBytes: bytes };
  const subject = 'disk';
  const values = { bytes };
  if (bytes < lowBytes)
    return { subject, verdict: 'bad', code: 'diskLow', values, sentence: lowDiskSentence(bytes), details };
  const gigabytes = (bytes / 1024 ** 3).toFixed(1);
  const sentence = `${gigabytes} GB are free`;
  return { subject, verdict: 'good', code: 'diskGood', values, sentence, details };
}

/** Whether a station works in it. */
export function checkHolder(dataFolder: string): HealthFinding {
  const subject = 'station';
  if (!existsSync(join(dataFolder, 'station.lock'))) {
    return {
      ...{ subject, verdict: 'note', code: 'stationNever', values: {}, details: { working: false } },
      sentence: 'has not worked here yet',
    };
  }
  const working = isHeld(dataFolder);
  const sentence = working ? 'one works in the folder now' : 'none works in the folder now';
  const code = working ? 'stationWorking' : 'stationIdle';
  return { subject, verdict: 'good', code, values: {}, sentence, details: { working } };
}
