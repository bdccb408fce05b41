import { mkdirSync, renameSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { destination, type Logger, pino } from 'pino';

export type StationLog = Pick<Logger, 'info' | 'warn' | 'error'>;

const rotateAboveBytes = 4 * 1024 * 1024;

/**
 * The station's log: JSON lines in `log/station.log` of the data folder, turned over at the start when it has
 * grown (one old file is kept). PINs and keys never reach it.
 */
export function openLog(dataFolder: string): StationLog {
  const folder = join(dataFolder, 'log');
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const file = join(folder, 'station.log');
  try {
    if (statSync(file).size > rotateAboveBytes) renameSync(file, join(folder, 'station.old.log'));
  } catch {
    // No log yet.
  }
  return pino(
    { base: null, timestamp: pino.stdTimeFunctions.isoTime, redact: ['pin', '*.pin', 'key', '*.key'] },
    destination({ dest: file, sync: true, mode: 0o600 }),
  );
}
