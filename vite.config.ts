import { readFile } from 'node:fs/promises';
import { builtinModules } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig, type InlineConfig, type Plugin } from 'vite';
import manifest from './package.json' with { type: 'json' };

const root = import.meta.dirname;
const builtIn = [...builtinModules, ...builtinModules.map((name) => `node:${name}`)];
const packages = Object.keys({ ...manifest.dependencies, ...manifest.optionalDependencies });

/** The screens: the same files for the Electron window and for a browser. */
export const rendererConfig: InlineConfig = {
  configFile: false,
  root: join(root, 'renderer'),
  plugins: [react()],
  build: {
    outDir: join(root, 'out', 'renderer'),
    emptyOutDir: true,
    // The strict content security policy of the station allows no inline script and no data: address in one.
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    // Chromium 130 is in the oldest Electron that this runs in.
    target: 'chrome130',
    // Loaded from this machine, never over a network.
    chunkSizeWarningLimit: 4000,
  },
};

/** Electron's main process: one module, everything in it but Electron and Node's own. */
export const mainConfig: InlineConfig = nodeProgram('main', 'electron/main.ts', ['electron', ...builtIn]);

/** Packages that every start of the station needs: found, read and compiled as one file they take half the time. */
const bundled = ['@serialport/parser-readline', 'pino', 'serialport', 'sirv', 'ws', 'zod'];
/** Native ones, and those that bring files of their own. */
const outside = [
  ...packages.filter((name) => !bundled.includes(name)),
  ...['@serialport/bindings-cpp', 'bufferutil', 'utf-8-validate'],
];

/** The station process: a module with what every start needs, beside its other packages. */
export const stationConfig: InlineConfig = nodeProgram('station', 'electron/station/main.ts', [
  ...builtIn,
  ...outside,
  ...outside.map((name) => new RegExp(`^${name}/`)),
]);

/**
 * A program for Node as one module NAME.mjs.
 *
 * @param external packages that stay outside and are found in node_modules when it runs.
 */
export function nodeProgram(
  name: string,
  entry: string,
  external: (string | RegExp)[],
  outDir = join(root, 'out'),
): InlineConfig {
  return {
    configFile: false,
    root,
    plugins: [carryNeighbours()],
    publicDir: false,
    // Resolved as for Node; `external` alone says what stays outside.
    ssr: { noExternal: true },
    build: {
      ssr: true,
      ssrEmitAssets: true,
      outDir,
      emptyOutDir: false,
      minify: false,
      target: 'node20',
      rolldownOptions: {
        input: { [name]: resolve(root, entry) },
        external,
        output: {
          format: 'esm',
          entryFileNames: '[name].mjs',
          chunkFileNames: `${name}-[name]-[hash].mjs`,
          assetFileNames: `${name}-[name]-[hash][extname]`,
        },
      },
    },
  };
}

/**
 * Carries what the source reaches by `new URL('./neighbour', import.meta.url)` into the bundle: a TypeScript file
 * (a worker) as a module of its own, anything else as it is.
 */
function carryNeighbours(): Plugin {
  const pattern = /new URL\(\s*'(\.{1,2}\/[^']+\.\w+)',\s*import\.meta\.url,?\s*\)/g;
  return {
    name: 'carry-neighbours',
    // Before TypeScript is stripped: the stripper writes other quotes.
    enforce: 'pre',
    /** Everything carried lies in one folder. Vite's own answer is a path from the root of a web site. */
    resolveFileUrl: ({ fileName }) => `new URL(${JSON.stringify(`./${fileName}`)}, import.meta.url).href`,
    async transform(code, id) {
      const found = [...code.matchAll(pattern)];
      if (found.length === 0) return null;
      let carried = code;
      for (const { 0: whole, 1: path, index } of found) {
        const lineStart = code.slice(code.lastIndexOf('\n', index) + 1, index);
        if (/^\s*(\*|\/\/|\/\*)/.test(lineStart)) continue;
        const file = resolve(dirname(id), path ?? '');
        const reference = file.endsWith('.ts')
          ? this.emitFile({ type: 'chunk', id: file })
          : this.emitFile({
              type: 'asset',
              name: path?.split('/').at(-1) ?? '',
              source: await readFile(file),
            });
        carried = carried.replace(whole, `new URL(import.meta.ROLLUP_FILE_URL_${reference})`);
      }
      return { code: carried, map: null };
    },
  };
}

export default defineConfig(rendererConfig);
