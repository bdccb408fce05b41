import { randomBytes } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { daySchema, identifierSchema, spokenTextSchema } from '../../../shared/identifier.ts';
import { personNameSchema } from '../../../shared/people/person.ts';
import { BadInput, type CommandInput, type ExitCode } from './command.ts';
import { neededOption, withSite } from './site-input.ts';

/** Makes or brings up the store. */
export async function setUp(input: CommandInput): Promise<ExitCode> {
  const { options, json, print } = input;
  const year = new Date().getUTCFullYear();
  const from = daySchema.safeParse(options.from ?? `${year - 1}-01-01`);
  if (!from.success) throw new BadInput(`--from: "${options.from}" is no day; write it like 2024-01-01`);
  const { setUpSite } = await import('../site/set-up.ts');
  const done = await withSite(input, (client) => setUpSite(client, from.data, `${year + 3}-01-01`));
  if (json) await print(JSON.stringify(done));
  else {
    const what = done.from === done.to ? 'was up to date' : `went from schema ${done.from} to ${done.to}`;
    await print(`the site store ${what}; ${done.partitions} partitions made, up to the end of ${year + 2}`);
  }
  return 0;
}

/** Makes the login of a bench. */
export async function addBenchLogin(input: CommandInput, name: string | undefined): Promise<ExitCode> {
  const benchId = nameOf(name, 'the bench');
  const { addBench } = await import('../site/set-up.ts');
  return addLogin(input, benchId, (client, password) => addBench(client, benchId, benchId, password));
}

/** Makes the login of an auditor or of whoever publishes. */
export async function addReaderLogin(input: CommandInput, name: string | undefined): Promise<ExitCode> {
  const login = nameOf(name, 'the login');
  const as = input.options.as ?? 'auditor';
  if (as !== 'auditor' && as !== 'publisher')
    throw new BadInput(`--as: "${as}" is neither auditor nor publisher`);
  const { addReader } = await import('../site/set-up.ts');
  return addLogin(input, login, (client, password) => addReader(client, login, password, as));
}

async function addLogin(
  input: CommandInput,
  login: string,
  add: (client: Parameters<Parameters<typeof withSite<void>>[1]>[0], password: string) => Promise<void>,
): Promise<ExitCode> {
  const file = resolve(neededOption(input, 'out', 'a new file for the password'));
  const password = randomBytes(24).toString('base64url');
  await withSite(input, async (client) => {
    // First the file: a login whose password nobody has is of no use.
    try {
      writeFileSync(file, `${password}\n`, { mode: 0o600, flag: 'wx' });
    } catch (error) {
      const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
      throw new BadInput(`--out: ${file} cannot be made (${code}); name a file that is not there yet`);
    }
    await add(client, password);
  });
  await input.print(
    input.json ? JSON.stringify({ login, passwordFile: file }) : `login ${login}, password in ${file}`,
  );
  return 0;
}

/** Lets a refused chain go on. */
export async function settle(input: CommandInput): Promise<ExitCode> {
  const benchId = nameOf(neededOption(input, 'bench', 'the bench'), '--bench');
  const stationId = neededOption(input, 'station', 'the station as "site status" names it');
  const after = Number(neededOption(input, 'after', 'the last event that both have, as "site status" says'));
  if (!Number.isSafeInteger(after) || after < 0)
    throw new BadInput('--after: must be a whole number, 0 or more');
  const person = personNameSchema.safeParse(input.options.person);
  if (!person.success) throw new BadInput('--person: missing; give the name of whoever decides');
  const reason = spokenTextSchema.safeParse(input.options.reason);
  if (!reason.success) throw new BadInput('--reason: missing; say what happened to the station');
  await withSite(input, (client) =>
    client
      .query('SELECT bandwright.settle($1, $2, $3, $4, $5)', [
        benchId,
        stationId,
        after,
        person.data,
        reason.data,
      ])
      .catch((error: unknown) => {
        const code = error instanceof Error && 'code' in error ? String(error.code) : '';
        if (code === 'BW001' || code === '23503')
          throw new BadInput(
            `settle: ${code === '23503' ? `there is no bench ${benchId}` : (error as Error).message}`,
          );
        throw error;
      }),
  );
  const what = after === 0 ? 'begins its chain' : `goes on behind event ${after} as a branch`;
  await input.print(
    input.json
      ? JSON.stringify({ benchId, stationId, after })
      : `station ${stationId} ${what} at bench ${benchId}`,
  );
  return 0;
}

function nameOf(name: string | undefined, what: string): string {
  const parsed = identifierSchema.safeParse(name);
  if (parsed.success && parsed.data.length <= 63) return parsed.data;
  throw new BadInput(`${what}: give a name of letters, digits, dots, dashes or underscores, 1 to 63`);
}
