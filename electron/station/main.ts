import { parseArgs } from 'node:util';
import { setFlagsFromString } from 'node:v8';
import { z } from 'zod';
import { endAtMistakes } from './crash-report.ts';
import { defaultDataFolder } from './data-folder.ts';
import { firstRunFolders } from './first-run.ts';
import { serveStation } from './serve.ts';
import { serveFirstRun } from './serve-first-run.ts';
import { lookAtSigningKey } from './signing-key.ts';
import type { SiteWish } from './site/site-access.ts';
import { storeFaultOf } from './store/store-fault.ts';
import { keyStoreName } from './system-key-store.ts';

/**
 * Entry of the station process. Arguments: `--data DIR`, `--port N`, `--first-run` (ask what an empty data folder
 * shall become; without it the demo), or `--site URL`, `--password-file FILE`, `--authority FILE` for the desk of a
 * site. When it is ready it says
 * `{"ready":true,"url":"http://127.0.0.1:PORT/?key=…"}`, once, to whoever started it: over Electron's parent port
 * where there is one, otherwise as one line on standard output; before, where it needs the system's key store,
 * `{"waitsFor":"key store","name":"Secret Service"}`. Where data folder, disk or key are at fault it says so too,
 * `{"failed":"held","values":{}}`, beside the sentence on standard error. It ends on SIGTERM and when its parent is gone.
 */
const portSchema = z.coerce.number().int().min(0).max(65_535);

interface ParentPort {
  postMessage(message: unknown): void;
}

// The main thread was started with less. Threads that search and verify get what is usual: a small one spoils the p99.
setFlagsFromString('--max-semi-space-size=16');

const { values } = parseArgs({
  options: {
    ...{ data: { type: 'string' }, port: { type: 'string' }, 'first-run': { type: 'boolean' } },
    ...{ site: { type: 'string' }, 'password-file': { type: 'string' }, authority: { type: 'string' } },
  },
  strict: false,
});
const named = typeof values.data === 'string' ? values.data : process.env.BANDWRIGHT_DATA || undefined;
const dataFolder = named ?? defaultDataFolder(process.env);
const port = portSchema.catch(0).parse(values.port);

try {
  const text = (value: unknown) => (typeof value === 'string' ? value : undefined);
  const site = text(values.site);
  const folders =
    site === undefined && values['first-run'] === true ? firstRunFolders(named, process.env) : undefined;
  // A crash report would make the folder that is yet to be chosen.
  if (folders === undefined && site === undefined) endAtMistakes(dataFolder);
  if (folders === undefined && site === undefined && isKeyInStore(dataFolder))
    await say({ waitsFor: 'key store', name: keyStoreName(process.platform) });
  const served =
    site !== undefined
      ? await serveSite({
          url: site,
          passwordFile: text(values['password-file']),
          authorityFile: text(values.authority),
        })
      : folders === undefined
        ? await serveStation(dataFolder, port)
        : await serveFirstRun({ folders, onChosen: endAtMistakes }, port);
  let ending = false;
  const end = () => {
    if (ending) return;
    ending = true;
    served.close().then(
      () => process.exit(0),
      () => process.exit(1),
    );
  };
  process.on('SIGTERM', end);
  process.on('SIGINT', end);
  process.on('disconnect', end);
  await say({ ready: true, url: served.server.address() });
} catch (error) {
  const fault = storeFaultOf(error);
  process.stderr.write(
    fault === undefined ? `${error instanceof Error ? error.stack : error}\n` : `${fault.message}\n`,
  );
  if (fault !== undefined) await say({ failed: fault.code, values: fault.values });
  process.exit(1);
}

/** Said when this resolves, since the station may be deaf and dumb for a while then. */
function say(message: object): Promise<void> {
  const parent = (process as { parentPort?: ParentPort }).parentPort;
  return new Promise((resolve) => {
    if (parent === undefined) process.stdout.write(`${JSON.stringify(message)}\n`, () => resolve());
    else {
      parent.postMessage(message);
      setImmediate(resolve);
    }
  });
}

/** What is wrong with the file is said by those who open it. */
function isKeyInStore(folder: string): boolean {
  try {
    return lookAtSigningKey(folder)?.protection === 'keyStore';
  } catch {
    return false;
  }
}

/** The desk of a site has no data folder. What belongs to a site is loaded where one is named, and nowhere else. */
async function serveSite(wish: SiteWish) {
  const { siteAccess } = await import('./site/site-access.ts');
  const { serveSiteDesk } = await import('./site/desk/serve-site-desk.ts');
  const access = siteAccess(wish);
  if (!access.ok) {
    process.stderr.write(`--${access.error.field}: ${access.error.message}\n`);
    process.exit(1);
  }
  return serveSiteDesk(access.value, port, (error) =>
    process.stderr.write(`${error instanceof Error ? error.stack : error}\n`),
  );
}
