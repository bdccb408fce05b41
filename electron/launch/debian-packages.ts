import { ok, type Result, refuse } from '../../shared/result.ts';
import { runProgram } from './run-program.ts';

/** The names of one package across Debian releases, the newest first. */
export type PackageNames = readonly [string, ...string[]];

/** The shared libraries that Electron and its fonts need from the system. */
export const electronPackages: readonly PackageNames[] = [
  ['libgtk-3-0t64', 'libgtk-3-0'],
  ['libnss3'],
  ['libasound2t64', 'libasound2'],
  ['libgbm1'],
  // Loaded while it runs; without it Electron ends with a trap.
  ['libx11-xcb1'],
];

/** What the tests need besides: a display without a screen, a browser, fonts to measure, a reader of PDF, a key store. */
export const testPackages: readonly PackageNames[] = [
  ...electronPackages,
  ['xvfb'],
  ['xauth'],
  ['chromium'],
  ['fonts-dejavu-core'],
  ['poppler-utils'],
  ['dbus-daemon', 'dbus'],
  ['gnome-keyring'],
];

/** The packages of the list that are not installed, by the first of their names. */
export async function missingPackages(wanted: readonly PackageNames[]): Promise<PackageNames[]> {
  const listed = await runProgram('dpkg-query', [
    '-W',
    '-f',
    // biome-ignore lint/suspicious/noTemplateCurlyInString: these are dpkg-query's own fields
    '${Package} ${db:Status-Abbrev}\\n',
    ...wanted.flat(),
  ]);
  const installed = new Set(
    listed.output
      .split('\n')
      .filter((line) => line.endsWith(' ii '))
      .map((line) => line.split(' ')[0] ?? ''),
  );
  return wanted.filter((names) => !names.some((name) => installed.has(name)));
}

/** True for root on a system with apt-get. */
export async function canInstallPackages(): Promise<boolean> {
  return process.getuid?.() === 0 && (await runProgram('apt-get', ['--version'])).code === 0;
}

/**
 * Sees to it that Debian packages are there: installs the missing ones where that may be done.
 *
 * @param mayInstall see {@link canInstallPackages}.
 * @returns a refusal with code `packages_missing` that names the command to type when it may not or cannot.
 */
export async function ensurePackages(
  wanted: readonly PackageNames[],
  mayInstall: boolean,
  say: (line: string) => void,
): Promise<Result<undefined>> {
  const missing = await missingPackages(wanted);
  if (missing.length === 0) return ok(undefined);
  if (!mayInstall) {
    const names = missing.map((alternatives) => alternatives.join(' or ')).join(', ');
    return refuse(
      'packages_missing',
      'system',
      `these Debian packages are missing: ${names}; install them as root with apt-get install`,
    );
  }
  say('Debian packages: apt-get update …');
  await apt(['update']);
  const names = await Promise.all(missing.map(availableName));
  say(`Debian packages: installing ${names.join(' ')} …`);
  const installed = await apt(['install', '-y', '--no-install-recommends', ...names]);
  if (installed.code === 0) return ok(undefined);
  const reason = installed.errors.trim().split('\n').at(-1) ?? '';
  return refuse(
    'packages_missing',
    'system',
    `apt-get could not install ${names.join(' ')} (${reason}); install them by hand`,
  );
}

/** The name under which this release has the package. */
async function availableName(names: PackageNames): Promise<string> {
  for (const name of names) {
    const policy = await runProgram('apt-cache', ['policy', name]);
    if (/^ {2}Candidate: (?!\(none\))/m.test(policy.output)) return name;
  }
  return names[0];
}

function apt(words: readonly string[]): ReturnType<typeof runProgram> {
  return runProgram('apt-get', ['-o', 'DPkg::Lock::Timeout=120', ...words], {
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive', LC_ALL: 'C' },
  });
}
