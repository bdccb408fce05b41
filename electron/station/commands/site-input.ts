import type { SiteAccess, SiteWish } from '../site/site-access.ts';
import type { SiteClient } from '../site/site-client.ts';
import { BadInput, badInput, type CommandInput, type OptionValues } from './command.ts';

/** Options of every command that asks the site store. */
export const siteOptions = {
  site: { type: 'string' },
  'password-file': { type: 'string' },
  authority: { type: 'string' },
} as const;

export const siteHelp = `
  --site URL             postgresql://LOGIN@HOST:PORT/DATABASE, without a password
  --password-file FILE   holds the password of the login; readable by its owner alone (chmod 600)
  --authority FILE       PEM: who signed the server's certificate; left out: whom this computer trusts`;

/** What the options say of the site. */
export function siteWishOf(options: OptionValues): SiteWish {
  const textOf = (name: string) => {
    const value = options[name];
    return typeof value === 'string' ? value : undefined;
  };
  const url = textOf('site');
  if (url === undefined) throw new BadInput('--site: missing; give postgresql://LOGIN@HOST:PORT/DATABASE');
  return { url, passwordFile: textOf('password-file'), authorityFile: textOf('authority') };
}

export async function siteAccessOf(wish: SiteWish): Promise<SiteAccess> {
  const { siteAccess } = await import('../site/site-access.ts');
  const access = siteAccess(wish);
  if (!access.ok) throw badInput({ ...access.error, field: `--${access.error.field}` });
  return access.value;
}

/** Works at the site. A site that is not there or does not let in is bad input: one line, exit 2. */
export async function withSite<Value>(
  { options }: Pick<CommandInput, 'options'>,
  work: (client: SiteClient) => Promise<Value>,
): Promise<Value> {
  const access = await siteAccessOf(siteWishOf(options));
  return faultsAsBadInput(async () => {
    const { connectSite } = await import('../site/site-client.ts');
    const client = await connectSite(access);
    try {
      return await work(client);
    } finally {
      await client.end().catch(() => undefined);
    }
  });
}

export async function faultsAsBadInput<Value>(work: () => Promise<Value>): Promise<Value> {
  const { SiteFault } = await import('../site/site-fault.ts');
  try {
    return await work();
  } catch (error) {
    if (error instanceof SiteFault) throw new BadInput(`--site: ${error.message}`);
    throw error;
  }
}

/** An option that must be there. */
export function neededOption({ options }: Pick<CommandInput, 'options'>, name: string, what: string): string {
  const value = options[name];
  if (typeof value === 'string' && value.trim() !== '') return value.trim();
  throw new BadInput(`--${name}: missing; give ${what}`);
}
