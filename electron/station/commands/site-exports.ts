import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import type { CaptureFilter } from '../store/filters.ts';
import { BadInput, type CommandInput, type ExitCode } from './command.ts';
import { localeOf } from './serial.ts';
import { withSite } from './site-input.ts';

/** Readings of all benches as CSV or JSON lines, to a file or to standard output. */
export function exportAtSite(
  input: CommandInput,
  format: 'csv' | 'jsonl',
  filter: CaptureFilter,
): Promise<ExitCode> {
  const { options, json, print, say } = input;
  return withSite<ExitCode>(input, async (client) => {
    const { csvStyleOf } = await import('../audit/csv.ts');
    const { exportSiteReadings } = await import('../site/site-export.ts');
    const { wholeFile } = await import('../audit/whole-file.ts');
    const asked = { format, filter, style: csvStyleOf(localeOf(options.locale)) };
    const target = typeof options.out === 'string' ? options.out : undefined;
    const file = target === undefined ? undefined : wholeFile(target);
    let stopped = false;
    process.once('SIGINT', () => {
      stopped = true;
    });
    let omitted = 0;
    try {
      for await (const piece of exportSiteReadings(client, asked)) {
        if (stopped) {
          say('stopped; nothing complete was written');
          return 1;
        }
        omitted = piece.omitted;
        if (file !== undefined) file.write(piece.text);
        else if (piece.text !== '') await print(piece.text.replace(/\n$/, ''));
      }
      file?.complete();
    } finally {
      file?.close();
    }
    if (target !== undefined) await print(json ? JSON.stringify({ target, omitted }) : target);
    if (omitted > 0) say(`${omitted} readings were altered or removed and are left out; run verify --site`);
    return omitted > 0 ? 1 : 0;
  });
}

/** Every visit of a serial at every bench as one PDF. */
export function documentAtSite(input: CommandInput, serial: string): Promise<ExitCode> {
  const { options, json, print } = input;
  return withSite<ExitCode>(input, async (client) => {
    const { siteHistory } = await import('../site/desk/site-history.ts');
    const { sha256 } = await import('../store/sha256.ts');
    const language = options.language === 'de' ? 'de' : 'en';
    const paper = options.paper === 'letter' ? 'letter' : 'a4';
    const history = await siteHistory(client, serial, { language, paper });
    if (history === undefined)
      throw new BadInput(`${serial}: is no serial at any bench of the site; check it, or name a station`);
    const name = `service-history-${serial}`.replaceAll(/[^\w.-]/g, '_');
    const file = resolve(typeof options.out === 'string' ? options.out : `${name}.pdf`);
    await writeFile(file, history).catch((error: unknown) => {
      throw new BadInput(
        `--out: ${file} cannot be written (${error instanceof Error ? error.message : error})`,
      );
    });
    const told = { file, kind: 'history', serial, bytes: history.length, sha256: sha256(history) };
    await print(json ? JSON.stringify(told) : file);
    return 0;
  });
}
