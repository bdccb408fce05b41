import { resolve } from 'node:path';
import { z } from 'zod';
import { BadInput, type Command } from './command.ts';
import { onEvidence, withEvidence } from './evidence-input.ts';

const keepSchema = z.coerce.number().int().min(1).max(1000);

export const backupCommand: Command = {
  name: 'backup',
  summary: 'copy the evidence to a folder while the station works, verify the copy, drop the oldest',
  usage: 'TARGET [--keep N] [--every HOURS]',
  help: `
Writes one state of the database and its signed head into a new folder under TARGET, verifies the copy as "verify"
does, and then removes the oldest backups there. A copy with findings is kept, and then nothing is removed. The
station's private key is not in a backup: keep a copy of signing-key.pem in a safe place of its own,
unlocked (see key --help).
Exit 0 verified, 1 the copy has findings, 2 nothing to back up.

  --keep N        backups that stay, default 14
  --every HOURS   when this one is verified the station makes one there every so many hours (1 to 720) by itself, as
                  long as it works; a screen says when it could not. The plan is in backup.json of the data folder:
                  remove that to end it
  --json          {"path","sequence","intact","problemCount","removed":[…]}`,
  options: { keep: { type: 'string' }, every: { type: 'string' } },
  run: onEvidence(async ({ positionals, options, json, dataFolder, print, say }) => {
    const [target, ...more] = positionals;
    if (target === undefined) throw new BadInput('TARGET: missing; name the folder that shall hold backups');
    if (more.length > 0) throw new BadInput(`TARGET: one folder, not also "${more.join(' ')}"`);
    const keep = keepSchema.safeParse(options.keep ?? '14');
    if (!keep.success)
      throw new BadInput(`--keep: "${options.keep}" is none; give a whole number from 1 to 1000`);
    const { everyHoursSchema, writeBackupPlan } = await import('../store/backup-plan.ts');
    const every = everyHoursSchema.optional().safeParse(options.every && Number(options.every));
    if (!every.success)
      throw new BadInput(`--every: "${options.every}" is none; give a whole number of hours from 1 to 720`);
    const { runBackup } = await import('../store/backup-run.ts');
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const at = createSystemClock().wallTime();
    const backup = await withEvidence(() => runBackup({ folder: dataFolder, target, at, keep: keep.data }));
    if (json) await print(JSON.stringify(backup));
    else await print(backup.path);
    if (every.data !== undefined && backup.intact) {
      const plan = { target: resolve(target), everyHours: every.data, keep: keep.data };
      await withEvidence(() => writeBackupPlan(dataFolder, plan));
      say(`from now on the station makes one every ${every.data} hours`);
    }
    if (!backup.intact) say(`the copy has ${backup.problemCount} findings; run verify to see them`);
    return backup.intact ? 0 : 1;
  }),
};
