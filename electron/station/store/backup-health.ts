import type { HealthFinding } from '../health.ts';
import { newestBackupAt, noBackupSentence, readBackupPlan } from './backup-plan.ts';

/** Whether backups are planned and made. `at` is now, ISO 8601 with offset. */
export function checkBackups(dataFolder: string, at: string): HealthFinding {
  const subject = 'backups';
  const plan = readBackupPlan(dataFolder);
  if (!plan.ok) {
    return {
      subject,
      verdict: 'bad',
      code: 'backupPlanBad',
      values: {},
      sentence: `${plan.error.field} ${plan.error.message}`.trim(),
      details: {},
    };
  }
  if (plan.value === null) {
    const sentence = 'none are planned; see backup --help, and keep them on another disk';
    return { subject, verdict: 'note', code: 'backupsNone', values: {}, sentence, details: {} };
  }
  const { target, everyHours } = plan.value;
  const newestAt = newestBackupAt(target);
  const details = { ...plan.value, newest: newestAt === undefined ? null : new Date(newestAt).toISOString() };
  if (newestAt === undefined) {
    const sentence = noBackupSentence(target);
    return { subject, verdict: 'bad', code: 'backupsNeverMade', values: {}, sentence, details };
  }
  const hours = Math.floor((Date.parse(at) - newestAt) / 3_600_000);
  const sentence = `every ${everyHours} h to ${target}, the newest ${hours} h ago`;
  const values = { everyHours, hours };
  // A bench that was off over night or a weekend is no reason to act.
  return hours > everyHours + 72
    ? {
        subject,
        verdict: 'bad',
        code: 'backupsLate',
        values,
        sentence: `${sentence}; look at the log`,
        details,
      }
    : { subject, verdict: 'good', code: 'backupsGood', values, sentence, details };
}
