import { randomUUID } from 'node:crypto';
import { dayOf } from '../../../shared/identifier.ts';
import {
  foldSheet,
  revisionInForce,
  type SheetState,
  sheetEventSchema,
} from '../../../shared/sheet/revision.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import { readSheet } from '../../../shared/sheet/sheet-check.ts';
import { sheetJsonSchema } from '../../../shared/sheet/sheet-json-schema.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { BadInput, badInput, type Command, type CommandInput, type ExitCode, readInput } from './command.ts';
import { openEvidenceFor, withEvidence } from './evidence-input.ts';
import { readJsonDocument } from './json-documents.ts';
import { readPin } from './pin-option.ts';

const deeds: Readonly<Record<string, (input: CommandInput, word: string | undefined) => Promise<ExitCode>>> =
  {
    __proto__: null as never,
    check: checkFile,
    import: importFile,
    export: exportSheet,
    schema: printSchema,
  };

/** Service sheets as files. */
export const sheetCommand: Command = {
  name: 'sheet',
  summary: 'Check, import and export service sheets as JSON files; print the schema of such a file',
  usage: 'check FILE | import FILE --person ID --pin PIN | export SHEET-ID [--revision N] | schema',
  help: `
check FILE        reads a sheet and names the first bad field with its path; - is standard input
import FILE       the same, then drafts it as the next revision, by a lead: --person ID and --pin PIN (- reads the PIN
                  from standard input). Submitting and the approval by a second person are done on the screen. The
                  station must not be running.
export SHEET-ID   prints a sheet as the file that import takes: the revision in force, else the newest, or the one of
                  --revision N. Reads beside a running station.
schema            prints the JSON Schema (2020-12) of a sheet file

With --json: check {"sheetId","revision","steps"}, import {"sheetId","revision","status","person"}, export and schema
the same JSON on one line.

Exit: 0 done, 2 bad input (nothing is changed).
`,
  options: { person: { type: 'string' }, pin: { type: 'string' }, revision: { type: 'string' } },
  async run(input) {
    const [deed, word, ...more] = input.positionals;
    const names = Object.keys(deeds).join(', ');
    if (deed === undefined) throw new BadInput(`sheet: what to do? Give one of ${names}`);
    if (more.length > 0) throw new BadInput(`sheet ${deed}: takes no "${more[0]}"; see --help`);
    const run = Object.hasOwn(deeds, deed) ? deeds[deed] : undefined;
    if (run === undefined) throw new BadInput(`sheet: "${deed}" is not one of ${names}`);
    return run(input, word);
  },
};

async function readSheetFile(input: CommandInput, file: string | undefined): Promise<ServiceSheet> {
  if (file === undefined) throw new BadInput('FILE: missing; give a sheet file, or - for standard input');
  const sheet = readSheet(readJsonDocument(await readInput(input, file)));
  if (!sheet.ok) throw badInput(sheet.error);
  return sheet.value;
}

async function checkFile(input: CommandInput, file: string | undefined): Promise<ExitCode> {
  const { sheetId, revision, steps } = await readSheetFile(input, file);
  const found = { sheetId, revision, steps: steps.length };
  await input.print(
    input.json
      ? JSON.stringify(found)
      : `${sheetId} revision ${revision}: ${steps.length} steps, nothing wrong`,
  );
  return 0;
}

async function importFile(input: CommandInput, file: string | undefined): Promise<ExitCode> {
  const { options, dataFolder, json, print } = input;
  if (file === '-' && options.pin === '-') {
    throw new BadInput('--pin: standard input holds the sheet already; name a FILE');
  }
  const sheet = await readSheetFile(input, file);
  const personId = options.person;
  if (typeof personId !== 'string') {
    throw new BadInput('--person: missing; a sheet has an author, give the id of a lead');
  }
  const pin = await readPin(input, 'give the PIN of the author');
  // Reading first: a wrong folder must not become a new database.
  (await openEvidenceFor(dataFolder)).close();
  const { openStore } = await import('../store/open-store.ts');
  const { createSystemClock } = await import('../../../drivers/port/clock.ts');
  const { jobEvidence } = await import('../../../shared/evidence/job-evidence.ts');
  const { PeopleDesk } = await import('../people/people-desk.ts');
  const { PinAttempts } = await import('../people/pin-attempts.ts');
  const { SheetDesk } = await import('../sheet-desk.ts');
  const clock = createSystemClock();
  await withEvidence(async () => {
    const store = openStore({ folder: dataFolder, clock, createId: randomUUID, rules: jobEvidence });
    try {
      const people = new PeopleDesk(store, new PinAttempts(dataFolder), clock);
      const person = people.find({ personId });
      if (person === undefined) throw new BadInput(`--person: "${personId}" is not known here; give a lead`);
      const checked = await people.checkPin(person, pin);
      if (!checked.ok) throw badInput({ ...checked.error, field: '--pin' });
      const drafted = new SheetDesk(store, clock).command(
        { kind: 'draftSheet', sheet },
        { person: { personId, roles: person.roles }, pinVerified: true },
      );
      if (!drafted.ok) {
        const { code, field } = drafted.error;
        throw badInput({ ...drafted.error, field: code === 'not_allowed' ? '--person' : field });
      }
    } finally {
      store.close();
    }
  });
  const { sheetId, revision } = sheet;
  await print(
    json
      ? JSON.stringify({ sheetId, revision, status: 'draft', person: personId })
      : `${sheetId} revision ${revision} is drafted by ${personId}; submit it on the screen, another lead approves it`,
  );
  return 0;
}

async function exportSheet(input: CommandInput, sheetId: string | undefined): Promise<ExitCode> {
  const { options, dataFolder, json, print } = input;
  if (sheetId === undefined) throw new BadInput('SHEET-ID: missing; give the id of a sheet');
  const wished = options.revision === undefined ? null : Number(options.revision);
  if (wished !== null && !(Number.isSafeInteger(wished) && wished > 0)) {
    throw new BadInput(`--revision: "${options.revision}" is none; give a number from 1`);
  }
  const evidence = await openEvidenceFor(dataFolder);
  try {
    const state = sheetStates(evidence).get(sheetId);
    if (state === undefined) {
      const known = [...sheetStates(evidence).keys()].join(', ');
      throw new BadInput(
        `SHEET-ID: "${sheetId}" is not here; choose one of ${known || 'none: there is no sheet yet'}`,
      );
    }
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const found =
      wished === null
        ? (revisionInForce(state, dayOf(createSystemClock().wallTime())) ?? state.revisions.at(-1))
        : state.revisions.find(({ revision }) => revision === wished);
    if (found === undefined) {
      const known = state.revisions.map(({ revision }) => revision).join(', ');
      throw new BadInput(`--revision: ${sheetId} has no ${wished}; choose one of ${known}`);
    }
    await print(json ? JSON.stringify(found.sheet) : JSON.stringify(found.sheet, undefined, 2));
    return 0;
  } finally {
    evidence.close();
  }
}

function sheetStates(evidence: EvidenceReader): ReadonlyMap<string, SheetState> {
  const states = new Map<string, SheetState>();
  for (const { body } of evidence.readStreams('sheet/')) {
    const event = sheetEventSchema.parse(body);
    states.set(event.sheetId, foldSheet(states.get(event.sheetId), event));
  }
  return states;
}

async function printSchema({ json, print }: CommandInput, word: string | undefined): Promise<ExitCode> {
  if (word !== undefined) throw new BadInput(`sheet schema: takes no "${word}"`);
  const schema = sheetJsonSchema();
  await print(json ? JSON.stringify(schema) : JSON.stringify(schema, undefined, 2));
  return 0;
}
