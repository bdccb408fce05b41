import { identifierSchema } from '../../../shared/identifier.ts';
import { personNameSchema } from '../../../shared/people/person.ts';
import { workshopDataFolder } from '../data-folder.ts';
import { BadInput, badInput, type Command, type CommandInput } from './command.ts';
import { withEvidence } from './evidence-input.ts';
import { readPin } from './pin-option.ts';

/** Sets a real workshop up, with one administrator who adds everybody else. */
export const setUpCommand: Command = {
  name: 'set-up',
  summary: 'Set a real workshop up in an empty data folder, with its first administrator',
  usage: '--workshop NAME --administrator NAME --pin PIN [--id PERSON-ID]',
  help: `
Makes the database and the station's signing key and adds one administrator, who signs in with the PIN and adds
people, instruments, sheets and lots on the screen. Nothing simulated can ever be registered there. Without --data
the folder is the workshop's own, beside the demo's, and Bandwright starts with it from then on.

  --workshop NAME        as it stands on every record
  --administrator NAME   as it stands in the list of people
  --pin PIN              4 to 12 digits; - reads it from standard input
  --id PERSON-ID         default: made of the name

Prints the folder and the id of the signing key: note it apart from this machine, for verify --key. With --json
{"dataFolder","workshop","administrator":{"personId","name"},"keyId"}.

Exit: 0 done, 2 bad input, or a folder that has a workshop already (nothing is changed).
`,
  options: {
    workshop: { type: 'string' },
    administrator: { type: 'string' },
    pin: { type: 'string' },
    id: { type: 'string' },
  },
  async run(input) {
    const { positionals, options, json, print, say } = input;
    if (positionals.length > 0) throw new BadInput(`set-up: takes no "${positionals[0]}"; see --help`);
    const workshop = nameOf(input, 'workshop', 'the name of the workshop');
    const name = nameOf(input, 'administrator', 'the name of the first administrator');
    const { idOfName } = await import('../people/first-administrator.ts');
    const personId = identifierSchema.safeParse(options.id ?? idOfName(name));
    if (!personId.success) {
      throw new BadInput(
        options.id === undefined
          ? `--id: "${name}" makes no id; give one of letters, digits, dots, dashes or underscores`
          : `--id: "${options.id}" is none; give letters, digits, dots, dashes or underscores`,
      );
    }
    const pin = await readPin(input, 'give the PIN of the administrator');
    const dataFolder = typeof options.data === 'string' ? input.dataFolder : workshopDataFolder(process.env);

    await refuseKnownFolder(dataFolder);
    const { setUpWorkshop } = await import('../workshop-set-up.ts');
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const clock = createSystemClock();
    const administrator = { personId: personId.data, name };
    const done = await withEvidence(() => setUpWorkshop({ dataFolder, workshop, administrator, pin, clock }));
    if (!done.ok) {
      const isPin = done.error.field === 'pin';
      throw badInput(isPin ? { ...done.error, field: '--pin' } : done.error);
    }
    const { keyId } = done.value;
    if (json) {
      await print(JSON.stringify({ dataFolder, workshop, administrator, keyId }));
    } else {
      await print(
        `${workshop} is set up in ${dataFolder}\nadministrator ${name} (${personId.data})\nkey ${keyId}`,
      );
      say('Note the key apart from this machine: verify --key tells with it that the evidence is yours.');
    }
    return 0;
  },
};

function nameOf({ options }: CommandInput, option: string, what: string): string {
  const given = options[option];
  if (given === undefined) throw new BadInput(`--${option}: missing; give ${what}`);
  const name = personNameSchema.safeParse(given);
  if (name.success) return name.data;
  throw new BadInput(`--${option}: must have 1 to 100 characters; give ${what}`);
}

/** A folder that has a workshop, or the beginning of one, is left alone. */
async function refuseKnownFolder(dataFolder: string): Promise<void> {
  const { readSetUp } = await import('../workshop-set-up.ts');
  const { workshop, isHalfDone } = await withEvidence(() => readSetUp(dataFolder));
  if (workshop !== null)
    throw new BadInput(`--data: ${dataFolder} is the folder of "${workshop}"; name an empty one`);
  if (isHalfDone)
    throw new BadInput(`--data: ${dataFolder} holds a set-up that was cut short; name an empty folder`);
}
