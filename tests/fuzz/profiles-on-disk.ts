import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const folder = join(import.meta.dirname, '..', '..', 'drivers', 'profiles');

/** The built-in profiles as their files have them, before they are read. */
export function profileDocuments(): readonly unknown[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith('.json'))
    .map((name) => JSON.parse(readFileSync(join(folder, name), 'utf8')));
}
