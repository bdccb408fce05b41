import { z } from 'zod';
import { decisions } from '../../../shared/acceptance/judgement.ts';
import { instantSchema } from '../../../shared/identifier.ts';
import { quantitySchema } from '../../../shared/quantity/unit.ts';
import {
  BadInput,
  badInput,
  type Command,
  type CommandInput,
  type ExitCode,
  type OptionValues,
} from './command.ts';
import { onEvidence, openEvidenceFor, withEvidence } from './evidence-input.ts';
import { localeOf } from './serial.ts';
import { alsoAtSite } from './site-station.ts';

const formatSchema = z.enum(['csv', 'jsonl', 'bundle', 'schema']);

const filterOptions = [
  'serial',
  'head',
  'instrument',
  'certificate',
  'person',
  'decision',
  'quantity',
  'lot',
  'from',
  'until',
] as const;

const exportOfFolder: Command = {
  name: 'export',
  summary: 'captured readings as CSV or JSON lines, or a signed bundle that anyone can check',
  usage: 'csv|jsonl|bundle|schema [--out TARGET] [FILTER]…',
  help: `
csv, jsonl   one captured reading per line, to TARGET or standard output; "schema" prints the JSON Schema of a line
bundle       a new folder TARGET with records, events, documents, public keys and verify.mjs, which checks all of it
             with Node alone; without a filter the whole chain of the station with its seals

  --out TARGET       file, or folder of a bundle
  --locale TAG       csv: decimal sign and separator of that language, for example de. Default: point and comma
  --serial, --head, --instrument, --certificate HASH, --person, --decision, --quantity, --lot   only these
  --from, --until    only from this instant on, before this one: ISO 8601 with offset
  --json             {"target", and "events","records","documents" of a bundle, or "omitted"} when TARGET is complete

Readings that were altered are left out and counted, and then it ends with exit 1.

Ctrl-C stops; then TARGET is not written. Reads beside a running station.`,
  options: {
    out: { type: 'string' },
    locale: { type: 'string' },
    ...Object.fromEntries(filterOptions.map((name) => [name, { type: 'string' as const }])),
  },
  run: onEvidence(async ({ positionals, options, json, dataFolder, print, say }) => {
    const format = formatSchema.safeParse(positionals[0]);
    if (!format.success || positionals.length > 1) {
      throw new BadInput('export: give one of csv, jsonl, bundle, schema');
    }
    if (format.data === 'schema') {
      const { readingLineJsonSchema } = await import('../../../shared/evidence/reading-line.ts');
      await print(JSON.stringify(readingLineJsonSchema(), null, 2));
      return 0;
    }
    const filter = filterOf(options);
    const { csvStyleOf } = await import('../audit/csv.ts');
    const style = csvStyleOf(localeOf(options.locale));
    const target = typeof options.out === 'string' ? options.out : undefined;
    if (target === undefined) {
      if (format.data === 'bundle') throw new BadInput('--out: missing; name the new folder of the bundle');
      return printReadings(dataFolder, { format: format.data, style, filter: filter ?? {} }, { print, say });
    }
    const { runExport } = await import('../audit/export-run.ts');
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const stop = new AbortController();
    process.once('SIGINT', () => stop.abort());
    let told = performance.now();
    const result = await withEvidence(() =>
      runExport({
        ...{ folder: dataFolder, target, format: format.data as 'csv' | 'jsonl' | 'bundle', style, filter },
        at: createSystemClock().wallTime(),
        signal: stop.signal,
        onProgress({ done, total }) {
          if (performance.now() - told < 5000) return;
          told = performance.now();
          say(`${done} of ${total}`);
        },
      }),
    );
    if (result === null) {
      say('stopped; nothing complete was written');
      return 1;
    }
    if (!result.ok) throw badInput({ ...result.error, field: '--out' });
    await print(json ? JSON.stringify({ target, ...result.value }) : target);
    return endOf('omitted' in result.value ? result.value.omitted : 0, say);
  }),
};

/** Across all benches: readings as CSV or JSON lines. */
export const exportCommand = alsoAtSite(exportOfFolder, (input) => {
  const [format, ...more] = input.positionals;
  if ((format !== 'csv' && format !== 'jsonl') || more.length > 0) return null;
  return import('./site-exports.ts').then(({ exportAtSite }) =>
    exportAtSite(input, format, filterOf(input.options) ?? {}),
  );
});

async function printReadings(
  dataFolder: string,
  wish: Parameters<typeof import('../audit/export-readings.ts')['exportReadings']>[1],
  { print, say }: Pick<CommandInput, 'print' | 'say'>,
): Promise<ExitCode> {
  const { exportReadings } = await import('../audit/export-readings.ts');
  const evidence = await openEvidenceFor(dataFolder);
  try {
    let missing = 0;
    for (const { text, omitted } of exportReadings(evidence, wish)) {
      missing = omitted;
      if (text !== '') await print(text.replace(/\n$/, ''));
    }
    return endOf(missing, say);
  } finally {
    evidence.close();
  }
}

function endOf(omitted: number, say: (text: string) => void): ExitCode {
  if (omitted > 0)
    say(`${omitted} readings were altered or removed and are left out; run verify to see which`);
  return omitted > 0 ? 1 : 0;
}

function filterOf(options: OptionValues) {
  const given = (name: (typeof filterOptions)[number]) => {
    const value = options[name];
    return typeof value === 'string' ? value : undefined;
  };
  const instant = (name: 'from' | 'until') => {
    const value = given(name);
    if (value === undefined || instantSchema.safeParse(value).success) return value;
    throw new BadInput(`--${name}: "${value}" is no instant; write it like 2026-03-02T00:00:00+01:00`);
  };
  const oneOf = (name: 'decision' | 'quantity', choices: readonly string[]) => {
    const value = given(name);
    if (value === undefined || choices.includes(value)) return value;
    throw new BadInput(`--${name}: "${value}" is none; choose one of ${choices.join(', ')}`);
  };
  if (filterOptions.every((name) => given(name) === undefined)) return null;
  return {
    serial: given('serial'),
    headId: given('head'),
    instrumentId: given('instrument'),
    certificateHash: given('certificate'),
    personId: given('person'),
    decision: oneOf('decision', decisions),
    quantity: oneOf('quantity', quantitySchema.options),
    lotId: given('lot'),
    from: instant('from'),
    until: instant('until'),
  };
}
