import { BadInput, type Command, type CommandInput, type ExitCode } from './command.ts';
import { siteOptions, withSite } from './site-input.ts';

/** Answers across all benches; null where the command is about one station all the same. */
export type AcrossBenches = (input: CommandInput) => Promise<ExitCode> | null;

/**
 * The command also on what a site store has (docs/site.md): with `--site` and `--station` it runs on a copy of that
 * station's chain in a folder that goes away, so that it answers as at the station itself.
 *
 * @param across what it does with `--site` alone
 */
export function alsoAtSite(command: Command, across?: AcrossBenches): Command {
  const without = across === undefined ? 'needed' : 'left out: all benches';
  return {
    ...command,
    usage: `${command.usage} [--site URL ${across === undefined ? '--station ID' : '[--station ID]'}]`,
    help: `${command.help.trimEnd()}

From the site store instead of a data folder (docs/site.md), with --site URL, --password-file FILE and --authority FILE
as "serial" has them:
  --station ID           on a copy of that station's newest branch, which needs room on the disk; ${without}`,
    options: { ...command.options, ...siteOptions, station: { type: 'string' } },
    run(input) {
      const { site, station } = input.options;
      if (site === undefined) {
        const stray = ['station', 'password-file', 'authority'].find(
          (name) => input.options[name] !== undefined,
        );
        if (stray !== undefined) throw new BadInput(`--${stray}: belongs to --site URL; give that too`);
        return command.run(input);
      }
      if (typeof station === 'string') return runOnCopy(command, input, station);
      const answer = across?.(input) ?? null;
      if (answer !== null) return answer;
      throw new BadInput(
        '--station: missing; name a station; "serial --site" and "verify --site" say what they are called',
      );
    },
  };
}

async function runOnCopy(command: Command, input: CommandInput, station: string): Promise<ExitCode> {
  const { mkdtemp, rm } = await import('node:fs/promises');
  const { tmpdir } = await import('node:os');
  const { join } = await import('node:path');
  const folder = await mkdtemp(join(tmpdir(), 'bandwright-copy-'));
  try {
    await withSite(input, async (client) => {
      const { readChains } = await import('../site/site-rows.ts');
      const { copyChain } = await import('../site/site-copy.ts');
      const chains = await readChains(client, [station]);
      const newest = chains.at(-1);
      if (newest === undefined) throw new BadInput(`--station: the site has no station "${station}"`);
      await copyChain(client, chains, newest, folder);
    });
    return await command.run({ ...input, dataFolder: folder });
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
