import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { listCrashReports } from './crash-report.ts';
import type { HealthFinding } from './health.ts';
import { logFolderName } from './log.ts';

/** How many errors and crashes were written down. */
export function checkLog(dataFolder: string): HealthFinding {
  const subject = 'log';
  const file = join(dataFolder, logFolderName, 'station.log');
  const text = existsSync(file) ? readFileSync(file, 'utf8') : '';
  const errors = text.split('\n').filter((line) => line.includes('"level":50')).length;
  const crashes = listCrashReports(dataFolder).length;
  const details = { errors, crashes };
  const sentence = `${errors} errors in the log, ${crashes} crash reports`;
  const verdict = crashes > 0 || errors > 0 ? 'note' : 'good';
  return {
    subject,
    verdict,
    code: verdict === 'good' ? 'logGood' : 'logErrors',
    values: details,
    sentence: verdict === 'good' ? sentence : `${sentence}; see log-bundle`,
    details,
  };
}
