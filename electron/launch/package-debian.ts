import { chmod, cp, mkdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
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
  await rm(root, { recursive: true, force: true });
  await mkdir(join(root, 'DEBIAN'), { recursive: true });
  await mkdir(join(root, 'usr', 'bin'), { recursive: true });
  await mkdir(join(root, 'usr', 'share', 'applications'), { recursive: true });
  await cp(folder, join(root, 'opt', 'bandwright'), { recursive: true, verbatimSymlinks: true });
  // Chromium's sandbox where the kernel gives user name spaces to root alone.
  await chmod(join(root, 'opt', 'bandwright', 'chrome-sandbox'), 0o4755);
  await symlink('/opt/bandwright/bandwright', join(root, 'usr', 'bin', 'bandwright'));
  await writeFile(join(root, 'usr', 'share', 'applications', 'bandwright.desktop'), desktopEntry);
  await mkdir(join(root, 'usr', 'share', 'doc', 'bandwright'), { recursive: true });
  await cp(join(project, 'LICENSE'), join(root, 'usr', 'share', 'doc', 'bandwright', 'copyright'));
  await writeFile(
    join(root, 'DEBIAN', 'control'),
    [
      'Package: bandwright',
      `Version: ${version}`,
      `Architecture: ${architecture}`,
      'Maintainer: the Bandwright authors <bandwright@localhost>',
      'Section: misc',
      'Priority: optional',
      `Depends: ${electronPackages.map((names) => names.join(' | ')).join(', ')}`,
      'Description: bench station for right-angle gear heads',
      ` ${description}`,
      '',
    ].join('\n'),
  );
  const file = join(output, `bandwright_${version}_${architecture}.deb`);
  const made = await runProgram('dpkg-deb', ['--root-owner-group', '-Zxz', '-z1', '--build', root, file]);
  if (made.code !== 0) throw new Error(`dpkg-deb: ${made.errors.trim()}`);
  await rm(root, { recursive: true, force: true });
  return file;
}

/** freedesktop.org, Desktop Entry Specification 1.5. */
const desktopEntry = `[Desktop Entry]
Type=Application
Name=Bandwright
Comment=Bench station for right-angle gear heads
Comment[de]=Prüfplatz für Winkelgetriebeköpfe
Exec=/opt/bandwright/bandwright
Terminal=false
Categories=Utility;
`;
