import { createHash } from 'node:crypto';
import { chmod, cp, mkdir, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { join, relative } from 'node:path';
import { gzipSync } from 'node:zlib';
import { electronPackages } from './debian-packages.ts';
import { runProgram } from './run-program.ts';

const architectures: Readonly<Record<string, string>> = { x64: 'amd64', arm64: 'arm64' };

/**
 * Makes a Debian package of the unpacked program with dpkg-deb: what electron-builder fetches for it (fpm) is neither
 * in npm's registry nor in Debian. Layout and fields: Debian Policy 4.7, chapters 5.3 and 9.1 (/opt, as the FHS 3.0
 * has it for add-on programs).
 *
 * @param folder the unpacked program.
 * @param output where the package is written.
 * @returns path of the .deb file.
 */
export async function makeDebianPackage(folder: string, output: string, project: string): Promise<string> {
  const { version, description } = JSON.parse(await readFile(join(project, 'package.json'), 'utf8')) as {
    version: string;
    description: string;
  };
  const architecture = architectures[process.arch] ?? process.arch;
  const root = join(output, 'deb');
  const share = join(root, 'usr', 'share');
  const program = join(root, 'opt', 'bandwright');
  const icons = join(share, 'icons', 'hicolor', 'scalable', 'apps');
  const documents = join(share, 'doc', 'bandwright');
  await rm(root, { recursive: true, force: true });
  for (const made of [
    join(root, 'DEBIAN'),
    join(root, 'usr', 'bin'),
    join(share, 'applications'),
    icons,
    documents,
  ])
    await mkdir(made, { recursive: true });
  await cp(folder, program, { recursive: true, verbatimSymlinks: true });
  // Of use to the cache that Electron was prepared in, and nowhere else.
  await rm(join(program, 'prepared-by-recipe'), { force: true });
  // Chromium's sandbox where the kernel gives user name spaces to root alone.
  await chmod(join(program, 'chrome-sandbox'), 0o4755);
  await symlink('/opt/bandwright/bandwright', join(root, 'usr', 'bin', 'bandwright'));
  await writeFile(join(share, 'applications', 'bandwright.desktop'), desktopEntry);
  await cp(join(project, 'renderer', 'mark.svg'), join(icons, 'bandwright.svg'));
  await cp(join(project, 'LICENSE'), join(documents, 'copyright'));
  const changes = await readFile(join(project, 'CHANGELOG.md'));
  await writeFile(join(documents, 'changelog.gz'), gzipSync(changes, { level: 9 }));
  const { kibibytes, sums } = await filesIn(root);
  await writeFile(join(root, 'DEBIAN', 'md5sums'), sums);
  await writeFile(
    join(root, 'DEBIAN', 'control'),
    [
      'Package: bandwright',
      `Version: ${version}`,
      `Architecture: ${architecture}`,
      'Maintainer: the Bandwright authors <bandwright@localhost>',
      `Installed-Size: ${kibibytes}`,
      'Section: misc',
      'Priority: optional',
      `Depends: ${[...stationPackages, ...electronPackages.map((names) => names.join(' | '))].join(', ')}`,
      'Description: bench station for right-angle gear heads',
      ...wrapped(description).map((line) => ` ${line}`),
      '',
    ].join('\n'),
  );
  const file = join(output, `bandwright_${version}_${architecture}.deb`);
  const made = await runProgram('dpkg-deb', ['--root-owner-group', '-Zxz', '-z1', '--build', root, file]);
  if (made.code !== 0) throw new Error(`dpkg-deb: ${made.errors.trim()}`);
  await rm(root, { recursive: true, force: true });
  return file;
}

/**
 * What Electron's own list lacks: the C library of the station's Node (Node 24, BUILDING.md), and what node-hid's module
 * is linked with, though it reads scales without it.
 */
const stationPackages = ['libc6 (>= 2.28)', 'libusb-1.0-0'];

/** Sums of all files to be installed, as `dpkg --verify` reads them, and their size (Debian Policy 5.6.20). */
async function filesIn(root: string): Promise<{ readonly kibibytes: number; readonly sums: string }> {
  const entries = await readdir(root, { recursive: true, withFileTypes: true });
  const lines: string[] = [];
  let kibibytes = 0;
  for (const entry of entries) {
    kibibytes += 1;
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    const bytes = await readFile(path);
    kibibytes += Math.floor(bytes.length / 1024);
    lines.push(`${createHash('md5').update(bytes).digest('hex')}  ${relative(root, path)}\n`);
  }
  return { kibibytes, sums: lines.join('') };
}

/** Lines of fewer than 80 characters (Debian Policy 5.6.13). */
function wrapped(text: string): readonly string[] {
  return text.match(/.{1,78}(?:\s|$)/g)?.map((line) => line.trimEnd()) ?? [text];
}

/** freedesktop.org, Desktop Entry Specification 1.5. */
const desktopEntry = `[Desktop Entry]
Type=Application
Name=Bandwright
Comment=Bench station for right-angle gear heads
Comment[de]=Prüfplatz für Winkelgetriebeköpfe
Exec=/opt/bandwright/bandwright
Icon=bandwright
Terminal=false
Categories=Utility;
`;
