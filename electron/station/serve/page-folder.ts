import { existsSync } from 'node:fs';
import { join } from 'node:path';

/**
 * Where the built page lies: beside the bundle, or in `out/` when the station runs from its source. Undefined in a
 * fresh checkout, where nothing was built yet.
 */
export function findPageFolder(): string | undefined {
  const candidates = [
    join(import.meta.dirname, 'renderer'),
    join(import.meta.dirname, '..', '..', '..', 'out', 'renderer'),
  ];
  return candidates.find((folder) => existsSync(join(folder, 'index.html')));
}

/** The page folder, or the error that says how to make it. */
export function requirePageFolder(): string {
  const pageFolder = findPageFolder();
  if (pageFolder === undefined) throw new Error('the screen is not built; run npm run build first');
  return pageFolder;
}
