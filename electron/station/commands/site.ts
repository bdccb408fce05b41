import { BadInput, type Command, type CommandInput, type ExitCode } from './command.ts';
import { siteHelp, siteOptions } from './site-input.ts';

type Action = (input: CommandInput, name: string | undefined) => Promise<ExitCode>;

/** What `site` can do; each part is loaded when called. */
const actions: Readonly<Record<string, Action>> = {
  __proto__: null as never,
  'test-store': async (input) => (await import('./site-test-store.ts')).testStore(input),
  'set-up': async (input) => (await import('./site-administration.ts')).setUp(input),
  'add-bench': async (input, name) => (await import('./site-administration.ts')).addBenchLogin(input, name),
  'add-login': async (input, name) => (await import('./site-administration.ts')).addReaderLogin(input, name),
  settle: async (input) => (await import('./site-administration.ts')).settle(input),
  join: async (input) => (await import('./site-bench-commands.ts')).joinSite(input),
  leave: async (input) => (await import('./site-bench-commands.ts')).leave(input),
  push: async (input) => (await import('./site-bench-commands.ts')).push(input),
  status: async (input) => (await import('./site-bench-commands.ts')).status(input),
  key: async (input) => (await import('./site-publish.ts')).siteKey(input),
  publish: async (input) => (await import('./site-publish.ts')).publishSubject(input),
  search: async (input) => (await import('./site-audit.ts')).searchAtSite(input),
};

/** Actions that take a name behind them. */
const named: ReadonlySet<string> = new Set(['add-bench', 'add-login']);

export const siteCommand: Command = {
  name: 'site',
  summary: 'one store for many benches on PostgreSQL: set up, join, push, search (docs/site.md)',
  usage: `${Object.keys(actions).join('|')} …`,
  help: `
For whoever answers for the site, with a login that owns the database:
  test-store [--folder DIR] [--port N]     a real PostgreSQL server with a store, for trying, until Ctrl+C
  set-up [--from DAY]                      make the store, or bring it up to date; repeat it every year
  add-bench NAME --out FILE                a login for a bench; its password goes into the new FILE
  add-login NAME --as auditor|publisher --out FILE
  settle --bench NAME --station ID --after N --person NAME --reason TEXT
                                           let a refused chain go on as a branch behind event N (0: begin)
  key --out FILE                           the key that signs what the site publishes
  publish sheet ID|person ID|certificate INSTRUMENT-ID --key FILE
                                           what this data folder (--data) has of it, for every bench
At a bench (with --data):
  join, leave                              push from the next start on, or no more
  push                                     push what is missing now, beside a running station too, and end
  status                                   how far the site has it, and what stands in the way
For an auditor:
  search [--serial S] [--head ID] [--person ID] [--instrument ID] [--certificate HASH] [--lot ID]
         [--decision D] [--quantity Q] [--from DAY] [--until DAY]     jobs at all benches, newest first
  also with --site URL: desk, serial, verify, export, document, lot; with --station ID too: chart, impact
${siteHelp}
  --site-key FILE        join: the public key whose publications this bench takes

Exit: 0 done, 1 stopped until a person decides, 2 bad input or the site is away.`,
  options: {
    ...siteOptions,
    'site-key': { type: 'string' },
    key: { type: 'string' },
    ...{
      folder: { type: 'string' },
      port: { type: 'string' },
      out: { type: 'string' },
      as: { type: 'string' },
    },
    ...{ bench: { type: 'string' }, station: { type: 'string' }, after: { type: 'string' } },
    ...{ person: { type: 'string' }, reason: { type: 'string' } },
    ...{ serial: { type: 'string' }, head: { type: 'string' }, instrument: { type: 'string' } },
    ...{ certificate: { type: 'string' }, lot: { type: 'string' }, decision: { type: 'string' } },
    ...{ quantity: { type: 'string' }, from: { type: 'string' }, until: { type: 'string' } },
  },
  async run(input) {
    const [word, name, ...more] = input.positionals;
    const action = word !== undefined && Object.hasOwn(actions, word) ? actions[word] : undefined;
    if (word === undefined || action === undefined)
      throw new BadInput(
        `site: ${word === undefined ? 'say what' : `there is no "${word}"`}; one of ${Object.keys(actions).join(', ')}`,
      );
    const extra = word === 'publish' ? undefined : named.has(word) ? more[0] : name;
    if (extra !== undefined) throw new BadInput(`site ${word}: takes no "${extra}"; see site --help`);
    return action(input, name);
  },
};
