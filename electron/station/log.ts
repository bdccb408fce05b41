import { appendFileSync, mkdirSync, renameSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { type Logger, pino } from 'pino';

export type StationLog = Pick<Logger, 'info' | 'warn' | 'error'>;

export const logFolderName = 'log';
const rotateAboveBytes = 4 * 1024 * 1024;
/** Names that never reach the log, as a field or inside one. */
const secrets = ['pin', 'newPin', 'key', 'privateKey', 'cookie', 'token', 'password'];

/**
 * The station's log: JSON lines in `log/station.log` of the data folder, turned over when it has grown (one old file
 * is kept). PINs and keys never reach it.
 *
 * @param rotateAbove size in bytes at which the file is turned over
 */
export function openLog(dataFolder: string, rotateAbove = rotateAboveBytes): StationLog {
  const folder = join(dataFolder, logFolderName);
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  return pino(
    {
      base: null,
      timestamp: pino.stdTimeFunctions.isoTime,
      redact: secrets.flatMap((name) => [name, `*.${name}`, `*.*.${name}`]),
    },
    createLogFile(folder, rotateAbove),
  );
}

/** Each line is with the system when `write` returns. What cannot be written is dropped: a full disk must not end the station. */
function createLogFile(folder: string, rotateAbove: number): { write(line: string): void } {
  const file = join(folder, 'station.log');
  return {
    write(line) {
      try {
        const size = statSync(file, { throwIfNoEntry: false })?.size ?? 0;
        if (size > rotateAbove) renameSync(file, join(folder, 'station.old.log'));
        appendFileSync(file, line, { mode: 0o600 });
      } catch {
        // There is nowhere left to say it.
      }
    },
  };
}
