// Becomes resources/default_app.asar of the prepared Electron build, which comes without one: with it `electron
// DIR` starts the application in DIR, as in an ordinary build. Runs in Electron's own Node, types stripped.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { app } from 'electron';

const words = process.argv.slice(1);
const preloads: string[] = [];
let folder: string | undefined;
for (let index = 0; index < words.length && folder === undefined; index += 1) {
  const word = words[index] ?? '';
  if (word === '-v' || word === '--version') {
    process.stdout.write(`v${process.versions.electron}\n`);
    process.exit(0);
  }
  if (word === '-r' || word === '--require') {
    index += 1;
    preloads.push(words[index] ?? '');
  } else if (!word.startsWith('-')) {
    folder = resolve(word);
  }
}
if (folder === undefined) {
  process.stderr.write('electron: name the folder of the application to start\n');
  process.exit(2);
}
const requireFrom = createRequire(join(folder, 'package.json'));
for (const preload of preloads) requireFrom(preload);
const manifest = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
app.setName(manifest.productName ?? manifest.name);
app.setPath('userData', join(app.getPath('appData'), app.getName()));
// Both are missing in Electron's types, though its own default application calls them.
Reflect.apply(Reflect.get(app, 'setVersion'), app, [manifest.version]);
Reflect.apply(Reflect.get(app, 'setAppPath'), app, [folder]);
await import(pathToFileURL(requireFrom.resolve(resolve(folder, manifest.main))).href);
