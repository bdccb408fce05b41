import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { type Row, tableOf } from './row.ts';
import { measureStores } from './site-measure.ts';
import { loadStore, type Say } from './site-store.ts';

/**
 * Fills site stores and measures them; they go away.
 *
 * @param sizes events of each, the smallest first
 * @param minutes how long each is filled at most
 */
export async function siteRows(sizes: readonly number[], minutes: number, say: Say): Promise<Row[]> {
  const stores = sizes.map(() => mkdtempSync(join(tmpdir(), 'bandwright-site-store-')));
  try {
    for (const [index, store] of stores.entries()) await loadStore(store, sizes[index] ?? 0, minutes, say);
    return await measureStores(stores, say);
  } finally {
    for (const store of stores) rmSync(store, { recursive: true, force: true });
  }
}

/**
 * Run by itself:
 *   --keep FOLDER --events N --minutes M   fills a store, which stays there
 *   --folder FOLDER --folder FOLDER …      measures stores that stay there, the smallest first
 *   --events N --minutes M                 fills stores of 100 000 and N events, and measures them
 */
if (import.meta.main) {
  const { values } = parseArgs({
    options: {
      events: { type: 'string', default: '10000000' },
      minutes: { type: 'string', default: '60' },
      keep: { type: 'string' },
      folder: { type: 'string', multiple: true },
    },
  });
  const say = (line: string) => process.stderr.write(`${new Date().toISOString()} ${line}\n`);
  const [events, minutes] = [Number(values.events), Number(values.minutes)];
  if (values.keep !== undefined) {
    const loaded = await loadStore(values.keep, events, minutes, say);
    say(`${loaded.events} events in ${values.keep}`);
  } else {
    const rows =
      values.folder === undefined
        ? await siteRows([100_000, events], minutes, say)
        : await measureStores(values.folder, say);
    process.stdout.write(`${tableOf(rows)}\n`);
  }
}
