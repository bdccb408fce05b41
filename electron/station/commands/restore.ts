import { BadInput, badInput, type Command } from './command.ts';
import { onEvidence, withEvidence } from './evidence-input.ts';

export const restoreCommand: Command = {
  name: 'restore',
  summary: 'put a verified backup in the place of the database; what lies there is kept aside',
  usage: 'BACKUP [--set-aside] [--accept-findings]   or   --anew',
  help: `
Verifies BACKUP (one folder that "backup" wrote) and puts it into the data folder. Refuses while a station works
there, and when the data folder holds newer or other evidence. What lies there is moved to a folder set-aside-… in
the data folder, never deleted. That it was restored becomes an event of the chain.

  --set-aside         restore although what lies there is newer, other or cannot be read
  --accept-findings   restore although the backup does not verify
  --anew              without BACKUP: set a damaged database aside and begin an empty one
  --json              {"sequence","keptIn","lost":{"sequence",…}|null}`,
  options: {
    'set-aside': { type: 'boolean' },
    'accept-findings': { type: 'boolean' },
    anew: { type: 'boolean' },
  },
  run: onEvidence(async ({ positionals, options, json, dataFolder, print, say }) => {
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const { beginAnew, noteRestore } = await import('../store/restored-chain.ts');
    const clock = createSystemClock();
    const [backup, ...more] = positionals;
    if (options.anew === true) {
      if (backup !== undefined) throw new BadInput('--anew: takes no BACKUP; leave one of the two out');
      const begun = await withEvidence(() => beginAnew(dataFolder, clock));
      await print(
        json ? JSON.stringify(begun) : `begun anew; what lay there is in ${begun.keptIn ?? 'no folder'}`,
      );
      return 0;
    }
    if (backup === undefined) throw new BadInput('BACKUP: missing; name the folder of one backup, or --anew');
    if (more.length > 0) throw new BadInput(`BACKUP: one folder, not also "${more.join(' ')}"`);
    const { runVerify } = await import('../audit/verify-run.ts');
    const verdict = await withEvidence(() =>
      runVerify({ folder: backup, onProblem: ({ sentence }) => say(sentence) }),
    );
    if (verdict?.intact !== true && options['accept-findings'] !== true) {
      throw new BadInput('BACKUP: does not verify; take another one, or say --accept-findings');
    }
    const { restoreBackup } = await import('../store/restore.ts');
    const setAside = options['set-aside'] === true;
    const restored = await withEvidence(() =>
      restoreBackup({ backup, folder: dataFolder, at: clock.wallTime(), setAside }),
    );
    if (!restored.ok) throw badInput(restored.error);
    await withEvidence(() => noteRestore(dataFolder, clock, restored.value));
    const { sequence, keptIn } = restored.value;
    if (json) await print(JSON.stringify(restored.value));
    else
      await print(
        `restored up to event ${sequence}${keptIn === null ? '' : `; what lay there is in ${keptIn}`}`,
      );
    return 0;
  }),
};
