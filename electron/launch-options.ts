import { resolve } from 'node:path';
import { parseArgs } from 'node:util';

/** What the words behind `npm start --` (or behind the packaged program) ask for. */
export interface LaunchOptions {
  /** Absolute path of the data folder, undefined for the usual one. */
  readonly dataFolder: string | undefined;
  /** The window fills the screen and cannot be left by accident. */
  readonly kiosk: boolean;
  readonly fullScreen: boolean;
  /** What an empty data folder becomes: `demo` at once, or what a person chooses on the first screen. */
  readonly emptyFolder: 'demo' | 'ask';
  /** The desk of a site instead of a bench; undefined for a bench. */
  readonly site: SiteLaunch | undefined;
}

/** Where a site is, and the files that open it. Paths are absolute. */
export interface SiteLaunch {
  readonly url: string;
  readonly passwordFile: string | undefined;
  readonly authorityFile: string | undefined;
}

/** The options in the words of `node:util` parseArgs. */
export const launchOptionWords = {
  data: { type: 'string' },
  kiosk: { type: 'boolean' },
  'full-screen': { type: 'boolean' },
  demo: { type: 'boolean' },
  'first-run': { type: 'boolean' },
  site: { type: 'string' },
  'password-file': { type: 'string' },
  authority: { type: 'string' },
} as const;

/**
 * Reads the words of an Electron command line. Unknown words pass: Chromium's own switches and those of test
 * tools stay in `process.argv`.
 *
 * @param asks true where a person is asked unless `--demo` says otherwise; else only `--first-run` asks
 */
export function readLaunchOptions(words: readonly string[], asks = false): LaunchOptions {
  const { values } = parseArgs({
    args: [...words],
    options: launchOptionWords,
    strict: false,
    allowPositionals: true,
  });
  return {
    dataFolder: typeof values.data === 'string' ? resolve(values.data) : undefined,
    kiosk: values.kiosk === true,
    fullScreen: values['full-screen'] === true,
    site: siteOf(values),
    emptyFolder: values.demo !== true && (asks || values['first-run'] === true) ? 'ask' : 'demo',
  };
}

function siteOf(values: Readonly<Record<string, unknown>>): SiteLaunch | undefined {
  const file = (value: unknown) => (typeof value === 'string' ? resolve(value) : undefined);
  if (typeof values.site !== 'string') return undefined;
  return {
    url: values.site,
    passwordFile: file(values['password-file']),
    authorityFile: file(values.authority),
  };
}

/** The words that name a site to another process; none for a bench. */
export function siteWords(site: SiteLaunch | undefined): string[] {
  if (site === undefined) return [];
  return [
    `--site=${site.url}`,
    ...(site.passwordFile === undefined ? [] : [`--password-file=${site.passwordFile}`]),
    ...(site.authorityFile === undefined ? [] : [`--authority=${site.authorityFile}`]),
  ];
}

/** The words that give another process the same options. */
export function writeLaunchOptions(options: LaunchOptions): string[] {
  return [
    ...(options.dataFolder === undefined ? [] : [`--data=${options.dataFolder}`]),
    ...(options.kiosk ? ['--kiosk'] : []),
    ...(options.fullScreen ? ['--full-screen'] : []),
    ...(options.emptyFolder === 'ask' ? ['--first-run'] : []),
    ...siteWords(options.site),
  ];
}
