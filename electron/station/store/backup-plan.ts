import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { z } from 'zod';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { listBackups } from './backup.ts';
import { withFaults } from './store-fault.ts';
import { writeDurably } from './sync.ts';

export const backupPlanFile = 'backup.json';

const planSchema = z.strictObject({
  /** Folder that holds the backups; from the data folder on. */
  target: z.string().min(1),
  everyHours: z.int().min(1).max(720),
  /** Backups that stay. */
  keep: z.int().min(1).max(1000),
});

/** When a station backs itself up, and where to. */
export type BackupPlan = z.infer<typeof planSchema>;

export const everyHoursSchema = planSchema.shape.everyHours;

/** The plan of a data folder; null where there is none. */
export function readBackupPlan(folder: string): Result<BackupPlan | null> {
  let text: string;
  try {
    text = readFileSync(join(folder, backupPlanFile), 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return ok(null);
    return refuse('backup_plan', '', `${backupPlanFile} cannot be read; check its rights`);
  }
  try {
    const plan = parseWith(planSchema, JSON.parse(text));
    return plan.ok ? ok({ ...plan.value, target: resolve(folder, plan.value.target) }) : plan;
  } catch {
    return refuse('backup_plan', '', `${backupPlanFile} is no JSON; correct or remove it`);
  }
}

export function writeBackupPlan(folder: string, plan: BackupPlan): void {
  const file = join(folder, backupPlanFile);
  withFaults(() => writeDurably(file, `${JSON.stringify(plan, null, 2)}\n`));
}

/** When the newest verified backup under a folder was made, milliseconds since 1970; undefined where there is none. */
export function newestBackupAt(target: string): number | undefined {
  const name = listBackups(target).at(-1)?.split('bandwright-').at(-1);
  const found = name === undefined ? null : /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(\d{3})Z/.exec(name);
  if (found === null) return undefined;
  const [year, month, day, hour, minute, second, millisecond] = found.slice(1);
  return Date.parse(`${year}-${month}-${day}T${hour}:${minute}:${second}.${millisecond}Z`);
}

const hour = 3_600_000;

/** True when the plan asks for a backup now. One from the future was made before the clock was set back. */
export function isBackupDue({ everyHours }: BackupPlan, newestAt: number, now: number): boolean {
  return now - newestAt >= everyHours * hour || newestAt > now;
}

/** What a screen and `doctor` say of a target that holds none. */
export function noBackupSentence(target: string): string {
  return `${target} holds no backup; plug its disk in, or plan anew with the command "backup"`;
}
