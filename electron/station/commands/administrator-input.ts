import { type Permission, roleRefusal } from '../../../shared/people/permission.ts';
import { BadInput, badInput, type CommandInput } from './command.ts';
import { openEvidenceFor, withEvidence } from './evidence-input.ts';
import { readPin } from './pin-option.ts';

/**
 * The id of the administrator who asks (`--person`, `--pin`), when the PIN is theirs. Wrong PINs count as at the
 * screen.
 *
 * @param evidenceFolder whose people are asked: the data folder, or a backup that is to become it
 */
export async function administratorOf(
  input: CommandInput,
  evidenceFolder: string,
  permission: Permission,
): Promise<string> {
  const { dataFolder, options } = input;
  if (typeof options.person !== 'string')
    throw new BadInput('--person: missing; give the id of an administrator');
  const pin = await readPin(input, 'give the PIN of the administrator');
  const { lockFolder } = await import('../store/folder-lock.ts');
  const { PeopleDesk } = await import('../people/people-desk.ts');
  const { PinAttempts } = await import('../people/pin-attempts.ts');
  const { createSystemClock } = await import('../../../drivers/port/clock.ts');
  const evidence = await openEvidenceFor(evidenceFolder);
  try {
    // A station that works there counts wrong PINs itself.
    const lock = await withEvidence(() => lockFolder(dataFolder));
    try {
      const readOnly = { ...evidence, append: () => neverWritten() };
      const people = new PeopleDesk(readOnly, new PinAttempts(dataFolder), createSystemClock());
      const person = people.find({ personId: options.person });
      if (person === undefined)
        throw new BadInput(
          `--person: "${options.person}" is nobody who works here; give an administrator's id`,
        );
      const refusal = roleRefusal(person, permission);
      if (refusal !== null) throw badInput({ ...refusal, field: '--person' });
      const checked = await people.checkPin(person, pin);
      if (!checked.ok) throw badInput({ ...checked.error, field: '--pin' });
      return person.personId;
    } finally {
      lock.release();
    }
  } finally {
    evidence.close();
  }
}

function neverWritten(): never {
  throw new Error('nothing is written while a PIN is checked');
}
