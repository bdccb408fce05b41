// `npm run licences`: which licence every installed package has, from its own package.json, without the network.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';

export interface PackageLicence {
  readonly name: string;
  readonly version: string;
  /** SPDX expression as the package says it; `unknown` where it says none. */
  readonly licence: string;
  /** True when it is part of the product; false for what only builds and tests it. */
  readonly inProduct: boolean;
}

/**
 * Licences that may be in the product: they ask for their notice and nothing else. 0BSD, CC0-1.0 and the like ask for
 * nothing. Copyleft and unknown ones are not in here.
 */
export const allowedLicences: ReadonlySet<string> = new Set([
  '0BSD',
  'Apache-2.0',
  'BSL-1.0',
  'BlueOak-1.0.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'CC0-1.0',
  'ISC',
  'MIT',
  'MIT-0',
  'OFL-1.1',
  'Python-2.0',
  'Unicode-3.0',
  'Unlicense',
  'WTFPL',
  'Zlib',
]);

/** Packages whose licence is not in the list and that were looked at: why they may stay. */
const lookedAt: readonly { readonly name: RegExp; readonly onlyTools: boolean; readonly why: string }[] = [
  {
    name: /^dejavu-fonts-ttf$/,
    onlyTools: false,
    why: 'the permissive licence of the fonts is in the package',
  },
  { name: /^png-js$/, onlyTools: false, why: 'package.json says nothing, its LICENSE file is that of MIT' },
  { name: /^axe-core$/, onlyTools: true, why: 'MPL-2.0; tests pages, goes into nothing' },
  {
    name: /^lightningcss(-[\w-]+)?$/,
    onlyTools: true,
    why: 'MPL-2.0; builds style sheets, goes into nothing',
  },
];

/** Every installed package of a project, by name. */
export function readLicences(projectFolder: string): readonly PackageLicence[] {
  const found = new Map<string, PackageLicence>();
  const lock = JSON.parse(readFileSync(join(projectFolder, 'package-lock.json'), 'utf8'));
  for (const path of packageFolders(join(projectFolder, 'node_modules'))) {
    const manifest = JSON.parse(readFileSync(join(path, 'package.json'), 'utf8'));
    const { name, version } = manifest;
    // Folders inside of packages that only say what kind of modules they hold.
    if (typeof name !== 'string' || typeof version !== 'string') continue;
    // What the lock file does not know was put there by hand: it counts as part of the product.
    const locked = lock.packages[relative(projectFolder, path).replaceAll('\\', '/')];
    found.set(path, { name, version, licence: licenceOf(manifest), inProduct: locked?.dev !== true });
  }
  return [...found.values()].sort((a, b) => (a.name < b.name ? -1 : 1));
}

function* packageFolders(nodeModules: string): Generator<string> {
  if (!existsSync(nodeModules)) return;
  for (const entry of readdirSync(nodeModules, { withFileTypes: true })) {
    if (entry.name.startsWith('.') || !entry.isDirectory()) continue;
    const path = join(nodeModules, entry.name);
    if (entry.name.startsWith('@')) {
      yield* packageFolders(path);
      continue;
    }
    if (existsSync(join(path, 'package.json'))) yield path;
    yield* packageFolders(join(path, 'node_modules'));
  }
}

function licenceOf({ license, licenses }: { license?: unknown; licenses?: unknown }): string {
  if (typeof license === 'string') return license;
  const old = license ?? licenses;
  const types = (Array.isArray(old) ? old : [old]).flatMap((one) =>
    typeof one === 'object' && one !== null && 'type' in one ? [String(one.type)] : [],
  );
  return types.length === 0 ? 'unknown' : types.join(' OR ');
}

/** True when an SPDX expression can be met with allowed licences alone: one side of OR, both of AND. */
export function isAllowed(expression: string): boolean {
  const text = expression.replaceAll(/[()]/g, ' ').trim();
  return text
    .split(/\s+OR\s+/)
    .some((side) => side.split(/\s+AND\s+/).every((licence) => allowedLicences.has(licence.trim())));
}

/** Packages that nobody has said yes to. */
export function notAllowed(packages: readonly PackageLicence[]): readonly PackageLicence[] {
  return packages.filter(({ name, licence, inProduct }) => {
    const known = lookedAt.find((entry) => entry.name.test(name));
    return !isAllowed(licence) && (known === undefined || (known.onlyTools && inProduct));
  });
}

if (import.meta.main) {
  const packages = readLicences(resolve(import.meta.dirname, '..', '..'));
  for (const { name, version, licence, inProduct } of packages) {
    process.stdout.write(`${licence}\t${inProduct ? 'product' : 'tools'}\t${name}@${version}\n`);
  }
  const open = notAllowed(packages);
  for (const { name, licence } of open) {
    const reason = licence === 'unknown' ? 'says no licence' : `has the licence ${licence}`;
    process.stderr.write(
      `${name}: ${reason}; look at it, and allow it in tests/licences/licences.ts or drop it\n`,
    );
  }
  const inProduct = packages.filter((entry) => entry.inProduct).length;
  process.stdout.write(
    `${packages.length} packages, ${inProduct} of them in the product, ${open.length} not allowed\n`,
  );
  process.exitCode = open.length === 0 ? 0 : 1;
}
