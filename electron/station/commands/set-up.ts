import { randomUUID } from 'node:crypto';
import { identifierSchema } from '../../../shared/identifier.ts';
import { personNameSchema } from '../../../shared/people/person.ts';
import { checkNewPin } from '../../../shared/people/pin-policy.ts';
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
    const { firstAdministrator, idOfName } = await import('../people/first-administrator.ts');
    const personId = identifierSchema.safeParse(options.id ?? idOfName(name));
    if (!personId.success) {
      throw new BadInput(
        options.id === undefined
          ? `--id: "${name}" makes no id; give one of letters, digits, dots, dashes or underscores`
          : `--id: "${options.id}" is none; give letters, digits, dots, dashes or underscores`,
      );
    }
    const pin = checkNewPin(await readPin(input, 'give the PIN of the administrator'));
    if (!pin.ok) throw badInput({ ...pin.error, field: '--pin' });
    const dataFolder = typeof options.data === 'string' ? input.dataFolder : workshopDataFolder(process.env);

    await refuseKnownFolder(dataFolder);
    const { openStore } = await import('../store/open-store.ts');
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const { jobEvidence } = await import('../../../shared/evidence/job-evidence.ts');
    const { hashPin } = await import('../people/pin.ts');
    const { workshopNaming } = await import('../workshop.ts');
    const clock = createSystemClock();
    const hash = await hashPin(pin.value);
    const keyId = await withEvidence(() => {
      const store = openStore({ folder: dataFolder, clock, createId: randomUUID, rules: jobEvidence });
      try {
        const person = { personId: personId.data, name, at: clock.wallTime() };
        // In one transaction: a set-up that is cut short has set nothing up.
        const stored = store.append({
          stream: `person/${person.personId}`,
          expectedVersion: 0,
          personId: null,
          events: firstAdministrator(person, hash).map((event) => ({ kind: event.kind, body: event })),
          also: [workshopNaming(store, clock, { name: workshop, simulated: false })],
        });
        if (!stored.ok) throw badInput(stored.error);
        return store.keyId;
      } finally {
        store.close();
      }
    });
    if (json) {
      const administrator = { personId: personId.data, name };
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
  const { openEvidence } = await import('../store/open-store.ts');
  const { readWorkshop } = await import('../workshop.ts');
  const { StoreFault } = await import('../store/store-fault.ts');
  const known = await withEvidence(() => {
    try {
      const evidence = openEvidence(dataFolder);
      try {
        return { workshop: readWorkshop(evidence), people: evidence.readStreams('person/').length };
      } finally {
        evidence.close();
      }
    } catch (error) {
      if (error instanceof StoreFault && error.code === 'no_database') return null;
      throw error;
    }
  });
  if (known === null) return;
  if (known.workshop !== null) {
    throw new BadInput(`--data: ${dataFolder} is the folder of "${known.workshop.name}"; name an empty one`);
  }
  if (known.people > 0) {
    throw new BadInput(`--data: ${dataFolder} holds a set-up that was cut short; name an empty folder`);
  }
}
