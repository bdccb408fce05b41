import { randomUUID } from 'node:crypto';
import type { KeyProtection } from '../key-file.ts';
import type { KeyChanged } from '../store/key-change.ts';
import type { StoreOptions } from '../store/open-store.ts';
import { administratorOf } from './administrator-input.ts';
import { BadInput, badInput, type Command, type CommandInput, type ExitCode } from './command.ts';
import { onEvidence, stationKeysIn, withEvidence } from './evidence-input.ts';

export const keyCommand: Command = {
  name: 'key',
  summary: "tell of the station's signing key, or change it",
  usage: 'status   or   rotate | replace | protect | unprotect --person ID --pin PIN',
  help: `
status     the keys of the chain, from which event on each signs and whether the one before it vouches for it, and
           whether the folder holds the private half of the last one and what protects it. Exit 1 when that is lost
           or locked
rotate     a new key takes over. The old one vouches for it in the chain, so that verify and whoever knows the old
           id go on believing; then the old private half is gone. Back up afterwards: an older backup knows only the
           old key. The new one is protected as the old one was
replace    when the key is lost: go on with a new one, in a plain file, that nothing vouches for. Everything before
           stays checkable; verify names the change until it is told both ids with --key
protect    lock signing-key.pem by a secret in the system's key store (Secret Service, Keychain, Credential Manager):
           a copy of the file signs nothing in another account or on another computer. Put an unlocked copy in a
           safe before: without one the key is lost with this account. Not for a bench whose account is signed in
           without a password: its key store stays locked then, and the station does not start until somebody
           unlocks it
unprotect  make it a plain file of mode 0600 again

The station must not be running. Exit 0 done, 1 the key is lost or locked, 2 bad input.

  --person ID   an administrator, who is noted in the chain
  --pin PIN     that person's; - reads it from standard input
  --json        status: {"state","protection","keyId","keys":[{"keyId","from","vouched"}]}, rotate and replace:
                {"from","to"}, protect and unprotect: {"keyId","protection"}`,
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
      case 'protect':
      case 'unprotect':
        return changeProtection(input, action === 'protect' ? 'keyStore' : 'file');
      default:
        throw new BadInput(
          `key: ${action === undefined ? 'missing' : `"${action}" is no`} action; say status, rotate, replace, protect or unprotect`,
        );
    }
  }),
};

async function status({ dataFolder, json, print, say }: CommandInput): Promise<ExitCode> {
  const { keyStateOf } = await import('../store/station-key.ts');
  const { lookAtSigningKey } = await import('../signing-key.ts');
  const { keyStoreName } = await import('../system-key-store.ts');
  const keys = await stationKeysIn(dataFolder);
  const current = keys.at(-1);
  const state = keyStateOf(dataFolder, current);
  const protection = state === 'unusable' ? null : (lookAtSigningKey(dataFolder)?.protection ?? null);
  const store = keyStoreName(process.platform);
  if (json) {
    const listed = keys.map(({ keyId, from, isVouched }) => ({ keyId, from, vouched: isVouched }));
    await print(JSON.stringify({ state, protection, keyId: current?.keyId ?? null, keys: listed }));
  } else {
    for (const { keyId, from, isVouched } of keys)
      await print(`key ${keyId} from event ${from} on${isVouched ? '' : ', without voucher'}`);
    if (state === 'here' && protection !== null)
      await print(`the private half is ${protection === 'file' ? 'a plain file' : `locked by the ${store}`}`);
  }
  if (state === 'locked') say(`the ${store} of this account does not open: unlock it and try again`);
  else if (state !== 'here')
    say(`the private half is ${state}: put the file back, or see key --help for replace`);
  return state === 'here' ? 0 : 1;
}

async function changeProtection(input: CommandInput, protection: KeyProtection): Promise<ExitCode> {
  const { dataFolder, json, print, say } = input;
  await administratorOf(input, dataFolder, 'changeSigningKey');
  const { changeKeyProtection } = await import('../store/key-change.ts');
  const { keyStoreName } = await import('../system-key-store.ts');
  const options = await storeOptions(dataFolder);
  const changed = await withEvidence(() => changeKeyProtection(options, protection));
  if (!changed.ok) throw badInput(changed.error);
  const store = keyStoreName(process.platform);
  if (json) await print(JSON.stringify({ keyId: changed.value, protection }));
  else if (protection === 'file') await print(`key ${changed.value} is a plain file of mode 0600 again`);
  else await print(`key ${changed.value} is locked by the ${store} of this account`);
  if (protection === 'keyStore')
    say(
      'Copies from before still sign: keep one in a safe, nowhere else, and see key rotate about the others.',
    );
  return 0;
}

async function change(input: CommandInput, action: 'rotate' | 'replace'): Promise<ExitCode> {
  const { dataFolder, json, print, say } = input;
  const personId = await administratorOf(input, dataFolder, 'changeSigningKey');
  const { replaceLostKey, rotateKey } = await import('../store/key-change.ts');
  const options = await storeOptions(dataFolder);
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

async function storeOptions(folder: string): Promise<StoreOptions> {
  const { createSystemClock } = await import('../../../drivers/port/clock.ts');
  const { jobEvidence } = await import('../../../shared/evidence/job-evidence.ts');
  return { folder, clock: createSystemClock(), createId: randomUUID, rules: jobEvidence };
}
