import { randomUUID } from 'node:crypto';
import type { KeyChanged } from '../store/key-change.ts';
import { administratorOf } from './administrator-input.ts';
import { BadInput, badInput, type Command, type CommandInput, type ExitCode } from './command.ts';
import { onEvidence, stationKeysIn, withEvidence } from './evidence-input.ts';

export const keyCommand: Command = {
  name: 'key',
  summary: "tell of the station's signing key, or change it",
  usage: 'status   or   rotate --person ID --pin PIN   or   replace --person ID --pin PIN',
  help: `
status    the keys of the chain, from which event on each signs and whether the one before it vouches for it, and
          whether the folder holds the private half of the last one. Exit 1 when that is lost
rotate    a new key takes over. The old one vouches for it in the chain, so that verify and whoever knows the old
          id go on believing; then the old private half is gone. Back up afterwards: an older backup knows only the
          old key
replace   when the key is lost: go on with a new one that nothing vouches for. Everything before stays checkable;
          verify names the change until it is told both ids with --key

The station must not be running. Exit 0 done, 1 the key is lost, 2 bad input.

  --person ID   an administrator, who is noted in the chain
  --pin PIN     that person's; - reads it from standard input
  --json        status: {"state","keyId","keys":[{"keyId","from","vouched"}]}, else {"from","to"}`,
  options: { person: { type: 'string' }, pin: { type: 'string' } },
  run: onEvidence(async (input) => {
    const [action, ...more] = input.positionals;
    if (more.length > 0) throw new BadInput(`key: takes no "${more[0]}"; see --help`);
    switch (action) {
      case 'status':
        return status(input);
      case 'rotate':
      case 'replace':
        return change(input, action);
      default:
        throw new BadInput(
          `key: ${action === undefined ? 'missing' : `"${action}" is no`} action; say status, rotate or replace`,
        );
    }
  }),
};

async function status({ dataFolder, json, print, say }: CommandInput): Promise<ExitCode> {
  const { keyStateOf } = await import('../store/station-key.ts');
  const keys = await stationKeysIn(dataFolder);
  const current = keys.at(-1);
  const state = keyStateOf(dataFolder, current);
  if (json) {
    const listed = keys.map(({ keyId, from, isVouched }) => ({ keyId, from, vouched: isVouched }));
    await print(JSON.stringify({ state, keyId: current?.keyId ?? null, keys: listed }));
  } else {
    for (const { keyId, from, isVouched } of keys)
      await print(`key ${keyId} from event ${from} on${isVouched ? '' : ', without voucher'}`);
    if (state !== 'here')
      say(`the private half is ${state}: put the file back, or see key --help for replace`);
  }
  return state === 'here' ? 0 : 1;
}

async function change(input: CommandInput, action: 'rotate' | 'replace'): Promise<ExitCode> {
  const { dataFolder, json, print, say } = input;
  const personId = await administratorOf(input, dataFolder, 'changeSigningKey');
  const { replaceLostKey, rotateKey } = await import('../store/key-change.ts');
  const { createSystemClock } = await import('../../../drivers/port/clock.ts');
  const { jobEvidence } = await import('../../../shared/evidence/job-evidence.ts');
  const options = {
    folder: dataFolder,
    clock: createSystemClock(),
    createId: randomUUID,
    rules: jobEvidence,
  };
  const changed = await withEvidence((): KeyChanged => {
    if (action === 'rotate') return rotateKey(options, personId);
    const replaced = replaceLostKey(options, personId);
    if (!replaced.ok) throw badInput(replaced.error);
    return replaced.value;
  });
  if (json) await print(JSON.stringify(changed));
  else {
    await print(`key ${changed.to} took over from key ${changed.from}`);
    say(
      action === 'rotate'
        ? 'The old key vouches for it. Back up now, and note the new id apart from this machine.'
        : 'Nothing vouches for it: verify names the change. Tell auditors both ids, and back up now.',
    );
  }
  return 0;
}
