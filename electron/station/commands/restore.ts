import { randomUUID } from 'node:crypto';
import { existsSync, mkdirSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import type { Clock } from '../../../drivers/port/clock.ts';
import { administratorOf } from './administrator-input.ts';
import { BadInput, badInput, type Command, type CommandInput } from './command.ts';
import { onEvidence, stationKeysIn, withEvidence } from './evidence-input.ts';

export const restoreCommand: Command = {
  name: 'restore',
  summary: 'put a verified backup in the place of the database; what lies there is kept aside',
  usage: 'BACKUP [--set-aside] [--accept-findings] [--replace-key --person ID --pin PIN]   or   --anew',
  help: `
Verifies BACKUP (one folder that "backup" wrote) and puts it into the data folder. Refuses while a station works
there, and when the data folder holds newer or other evidence. What lies there is moved to a folder set-aside-… in
the data folder, never deleted. That it was restored becomes an event of the chain, signed: the data folder must
hold the signing-key.pem that the backup goes on with. One that "key protect" locked is of use only to the account
that locked it: elsewhere put an unlocked copy there.

  --set-aside         restore although what lies there is newer, other or cannot be read
  --accept-findings   restore although the backup does not verify
  --replace-key       the key is lost: go on with a new one that nothing vouches for (see "key"), which an
                      administrator of the backup allows with --person ID and --pin PIN (- reads it)
  --anew              without BACKUP: set a damaged database aside and begin an empty one
  --json              {"sequence","keptIn","lost":{"sequence",…}|null}

Exit: 0 restored, 2 bad input or a backup that is not taken (nothing is changed).`,
  options: {
    'set-aside': { type: 'boolean' },
    'accept-findings': { type: 'boolean' },
    'replace-key': { type: 'boolean' },
    person: { type: 'string' },
    pin: { type: 'string' },
    anew: { type: 'boolean' },
  },
  run: onEvidence(async (input) => {
    const { positionals, options, json, dataFolder, print, say } = input;
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
    const { databaseName } = await import('../store/database.ts');
    if (!existsSync(join(backup, databaseName)))
      throw new BadInput(`BACKUP: no database in ${backup}; name one folder that "backup" wrote`);
    const verdict = await withEvidence(() =>
      runVerify({
        folder: backup,
        threads: availableParallelism(),
        onProblem: ({ sentence }) => say(sentence),
      }),
    );
    if (verdict?.intact !== true && options['accept-findings'] !== true) {
      throw new BadInput('BACKUP: does not verify; take another one, or say --accept-findings');
    }
    const administrator = await whoReplacesKey(input, backup);
    const { restoreBackup } = await import('../store/restore.ts');
    const setAside = options['set-aside'] === true;
    const restored = await withEvidence(() =>
      restoreBackup({ backup, folder: dataFolder, at: clock.wallTime(), setAside }),
    );
    if (!restored.ok) throw badInput(restored.error);
    if (administrator !== undefined) await replaceKey(dataFolder, clock, administrator);
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

/** Refuses a backup that this folder could not go on with; the administrator who allows a new key, if one is needed. */
async function whoReplacesKey(input: CommandInput, backup: string): Promise<string | undefined> {
  const { keyStateOf } = await import('../store/station-key.ts');
  const { withFaults } = await import('../store/store-fault.ts');
  const current = (await stationKeysIn(backup)).at(-1);
  if (current === undefined) return undefined;
  const state = keyStateOf(input.dataFolder, current);
  if (state === 'here') return undefined;
  if (state === 'locked') {
    throw new BadInput(
      '--data: holds the key, locked by a key store that does not open; unlock that first, see key --help',
    );
  }
  if (input.options['replace-key'] !== true) {
    throw new BadInput(
      `BACKUP: goes on with key ${current.keyId.slice(0, 16)}…, which the data folder does not hold; put its signing-key.pem there, or say --replace-key`,
    );
  }
  // Tries at the PIN are counted there.
  await withEvidence(() => withFaults(() => mkdirSync(input.dataFolder, { recursive: true, mode: 0o700 })));
  return administratorOf(input, backup, 'changeSigningKey');
}

async function replaceKey(dataFolder: string, clock: Clock, personId: string): Promise<void> {
  const { replaceLostKey } = await import('../store/key-change.ts');
  const { jobEvidence } = await import('../../../shared/evidence/job-evidence.ts');
  const options = { folder: dataFolder, clock, createId: randomUUID, rules: jobEvidence };
  const replaced = await withEvidence(() => replaceLostKey(options, personId));
  if (!replaced.ok) throw badInput(replaced.error);
}
