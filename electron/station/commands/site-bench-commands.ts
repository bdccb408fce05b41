import { existsSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { BadInput, badInput, type CommandInput, type ExitCode } from './command.ts';
import { openEvidenceFor, withEvidence } from './evidence-input.ts';
import { faultsAsBadInput, siteAccessOf, siteWishOf } from './site-input.ts';

/** Makes the data folder push from its next start on, after trying the way. */
export async function joinSite(input: CommandInput): Promise<ExitCode> {
  const { dataFolder, options, json, print, say } = input;
  const wish = siteWishOf(options);
  const access = await siteAccessOf(wish);
  const evidence = await openEvidenceFor(dataFolder);
  evidence.close();
  const { openSiteSession } = await import('../site/site-session.ts');
  const { stationIdOf } = await import('../site/outbox-run.ts');
  const stationId = await withEvidence(() => stationIdOf(dataFolder));
  const position = await faultsAsBadInput(async () => {
    const session = await openSiteSession(access);
    try {
      return await session.position(stationId);
    } finally {
      await session.close();
    }
  });
  if (position.state === 'no_bench')
    throw new BadInput(`--site: the login ${access.login} is no bench there; make one with "site add-bench"`);
  const { writeSiteFile } = await import('../site/site-file.ts');
  const whole = (file: string | undefined) => (file === undefined ? undefined : resolve(file));
  const [passwordFile, authorityFile] = [whole(wish.passwordFile), whole(wish.authorityFile)];
  const siteKey =
    typeof options['site-key'] === 'string'
      ? { publicKey: await publicKeyOf(options['site-key']) }
      : undefined;
  writeSiteFile(dataFolder, {
    url: wish.url,
    ...(passwordFile === undefined ? {} : { passwordFile }),
    ...(authorityFile === undefined ? {} : { authorityFile }),
    ...(siteKey === undefined ? {} : { siteKey }),
  });
  if (json) await print(JSON.stringify({ stationId, ...position }));
  else {
    await print(`station ${stationId} pushes to ${wish.url} from its next start on`);
    if (siteKey === undefined) say('Without --site-key it takes nothing that the site publishes.');
  }
  return 0;
}

async function publicKeyOf(file: string): Promise<string> {
  const { readPublicSiteKey } = await import('../site/site-key.ts');
  const key = readPublicSiteKey(file);
  if (!key.ok) throw badInput({ ...key.error, field: '--site-key' });
  return key.value;
}

/** The data folder pushes no more from its next start on; what is at the site stays. */
export async function leave({ dataFolder, print }: CommandInput): Promise<ExitCode> {
  const { siteFileName } = await import('../site/site-file.ts');
  const file = join(dataFolder, siteFileName);
  if (!existsSync(file)) throw new BadInput(`--data: ${dataFolder} pushes to no site`);
  rmSync(file);
  await print('pushes to no site from its next start on');
  return 0;
}

/** Pushes what is missing and ends. */
export async function push({ dataFolder, json, print, say }: CommandInput): Promise<ExitCode> {
  const site = await siteFileOf(dataFolder);
  const { runOutboxOf } = await import('../site/outbox-run.ts');
  const { siteSentence } = await import('../site/site-status.ts');
  const stop = new AbortController();
  process.once('SIGINT', () => stop.abort());
  let told = performance.now();
  const status = await withEvidence(() =>
    runOutboxOf(
      {
        dataFolder,
        site,
        untilUpToDate: true,
        onStatus(now) {
          if (performance.now() - told < 5000) return;
          told = performance.now();
          say(siteSentence(now));
        },
      },
      stop.signal,
    ),
  );
  await print(json ? JSON.stringify(status) : siteSentence(status));
  return status.state === 'up_to_date' ? 0 : status.state === 'stopped' ? 1 : 2;
}

/** What is known here of the way to the site, beside a running station too. */
export async function status({ dataFolder, json, print }: CommandInput): Promise<ExitCode> {
  const site = await siteFileOf(dataFolder);
  const { readSiteStatus, siteSentence } = await import('../site/site-status.ts');
  const noted = readSiteStatus(dataFolder);
  if (json) await print(JSON.stringify({ url: site.url, ...(noted ?? { status: null, at: null }) }));
  else
    await print(
      noted === null
        ? `${site.url}: nothing was pushed yet`
        : `${site.url}, ${noted.at}: ${siteSentence(noted.status)}`,
    );
  return noted?.status.state === 'stopped' ? 1 : 0;
}

async function siteFileOf(dataFolder: string) {
  const { readSiteFile } = await import('../site/site-file.ts');
  const file = readSiteFile(dataFolder);
  if (!file.ok)
    throw badInput({
      ...file.error,
      field: file.error.field === '' ? '--data' : `site.json ${file.error.field}`,
    });
  if (file.value === null)
    throw new BadInput(`--data: ${dataFolder} pushes to no site; join one with "site join"`);
  return file.value;
}
