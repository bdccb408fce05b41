import { resolve } from 'node:path';
import { hasDisplay } from '../../electron/launch/display.ts';
import { findElectron, sayElectron } from '../../electron/launch/find-electron.ts';

/** Before the desktop tests: a display and Electron. Says which build the tests run on. */
export async function setup(): Promise<void> {
  if (!hasDisplay(process.platform, process.env)) {
    throw new Error('the desktop tests need a display: run them with "npm test -- tests/desktop"');
  }
  const projectFolder = resolve(import.meta.dirname, '../..');
  const electron = await findElectron({ environment: process.env, projectFolder, say });
  if (!electron.ok) throw new Error(electron.error.message);
  say(`Tests run on ${sayElectron(electron.value)}`);
  // Playwright starts npm's `electron` package, which looks here.
  process.env.ELECTRON_OVERRIDE_DIST_PATH = electron.value.folder;
}

function say(line: string): void {
  process.stderr.write(`${line}\n`);
}
