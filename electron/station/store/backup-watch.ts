import type { Backup } from './backup.ts';
import { isBackupDue, newestBackupAt, noBackupSentence, readBackupPlan } from './backup-plan.ts';

const lookEveryMilliseconds = 10 * 60_000;
/** The start of the bench comes first. */
const firstLookMilliseconds = 60_000;

export interface BackupWatchParts {
  /** The data folder. */
  readonly folder: string;
  /** Now, ISO 8601 with offset. */
  readonly now: () => string;
  readonly everyMilliseconds?: number;
  /** A backup was made and verified. */
  onDone(backup: Backup): void;
  /** None could be made, or not an intact one: one sentence with what to do. Said once, until it is another one. */
  onTrouble(sentence: string): void;
  onTroubleOver(): void;
}

export interface BackupWatch {
  /** Looks now, and backs up when it is time. */
  look(): Promise<void>;
  stop(): void;
}

/** Backs a data folder up as its plan says. The plan is read at each look: it may come and go while the bench works. */
export function watchBackups(parts: BackupWatchParts): BackupWatch {
  const { folder, now, everyMilliseconds = lookEveryMilliseconds } = parts;
  let isLooking = false;
  let said: string | null = null;
  /** A copy with findings is kept: the next one comes a whole period later, or the target would fill. */
  let brokenAt: number | undefined;

  /** Resolves with what is wrong, null when all is well. */
  async function backUpWhenDue(): Promise<string | null> {
    const plan = readBackupPlan(folder);
    if (!plan.ok) return `${plan.error.field} ${plan.error.message}`.trim();
    if (plan.value === null) return null;
    const { target, keep } = plan.value;
    const at = now();
    const newestAt = newestBackupAt(target);
    // The command that made the plan made the first one: an empty folder is a disk that is not plugged in.
    if (newestAt === undefined) return noBackupSentence(target);
    if (!isBackupDue(plan.value, Math.max(newestAt, brokenAt ?? 0), Date.parse(at))) {
      return brokenAt === undefined ? null : said;
    }
    const { runBackup } = await import('./backup-run.ts');
    const backup = await runBackup({ folder, target, at, keep });
    brokenAt = backup.intact ? undefined : Date.parse(at);
    if (!backup.intact) {
      return `the backup ${backup.path} has ${backup.problemCount} findings; run verify to see them`;
    }
    parts.onDone(backup);
    return null;
  }

  async function look(): Promise<void> {
    if (isLooking) return;
    isLooking = true;
    const trouble = await backUpWhenDue().catch((error: Error) => error.message);
    isLooking = false;
    if (trouble === said) return;
    said = trouble;
    if (trouble === null) parts.onTroubleOver();
    else parts.onTrouble(trouble);
  }

  const first = setTimeout(() => void look(), Math.min(firstLookMilliseconds, everyMilliseconds));
  const timer = setInterval(() => void look(), everyMilliseconds);
  first.unref();
  timer.unref();
  return {
    look,
    stop() {
      clearTimeout(first);
      clearInterval(timer);
    },
  };
}
