import { findingText } from '../../../shared/audit/finding.ts';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { serialSchema } from '../../../shared/job/event.ts';
import { BadInput, type Command } from './command.ts';
import { onEvidence, openEvidenceFor } from './evidence-input.ts';
import { siteHelp, siteOptions } from './site-input.ts';

export const serialCommand: Command = {
  name: 'serial',
  summary: 'every captured reading of a serial, with raw bytes, band, decision and instrument',
  usage: 'SERIAL [--csv] [--locale TAG] [--site URL]',
  help: `
Prints every visit of a serial, oldest first, with every captured reading: value, unit, raw bytes (text and hex),
band, uncertainty, rule, decision, conformance, instrument and its calibration, person, time. Reads beside a running
station. A serial that never came is no error: exit 0, and with --json "visits" is empty. Events that were altered are
not shown but named, and then it ends with exit 1; the signed record still tells what was written.

  --csv          one line per reading (RFC 4180)
  --locale TAG   with --csv: decimal sign and separator as spreadsheets of that language expect, for example de
  --json         {"serial","visits":[{"jobId","captures":[…],"history":[…],"record":…}]}; "record" is the signed
                 record as it was printed when the job ended, "rawBytes" is base64

Across all benches, from the site store (docs/site.md); with --json each visit says "benchId" and "stationId":
${siteHelp}`,
  options: { csv: { type: 'boolean' }, locale: { type: 'string' }, ...siteOptions },
  run: onEvidence(async (input) => {
    const { positionals, options, json, dataFolder, print, say } = input;
    const [given, ...more] = positionals;
    if (given === undefined) throw new BadInput('SERIAL: missing; give the serial number of the head');
    if (more.length > 0) throw new BadInput(`SERIAL: one at a time, not also "${more.join(' ')}"`);
    const serial = serialSchema.safeParse(given.trim());
    if (!serial.success) throw new BadInput(`SERIAL: "${given}" is none; give 1 to 60 printable characters`);
    if (options.site !== undefined) {
      const { serialAtSite } = await import('./site-audit.ts');
      return serialAtSite(input, serial.data);
    }
    const { readVisits, visitAsJson } = await import('../audit/timeline.ts');
    const evidence = await openEvidenceFor(dataFolder);
    try {
      const visits = readVisits(evidence, serial.data);
      if (json) {
        await print(
          canonicalJson({
            serial: serial.data,
            visits: visits.map((visit) => visitAsJson(evidence, visit)),
          }),
        );
      } else if (options.csv === true) {
        const { csvOf, csvStyleOf } = await import('../audit/csv.ts');
        const { readingColumns, readingRow } = await import('../audit/reading-row.ts');
        const rows = visits.flatMap((visit) => visit.captures.map((capture) => readingRow(visit, capture)));
        await print(
          csvOf(rows, readingColumns, csvStyleOf(localeOf(options.locale)), true).replace(/\n$/, ''),
        );
      } else if (visits.length === 0) {
        await print(`serial ${serial.data}: no visit is recorded here`);
      } else {
        const { printedVisit } = await import('../audit/printed-visit.ts');
        await print([`serial ${serial.data}`, ...visits.map(printedVisit)].join('\n\n'));
      }
      if (visits.length === 0 && !json) say(`looked in ${dataFolder}`);
      const damage = visits.flatMap((visit) => visit.damage);
      for (const found of damage) say(`${findingText(found)}; run verify to see all`);
      return damage.length > 0 ? 1 : 0;
    } finally {
      evidence.close();
    }
  }),
};

/** The language named on the command line; English without one. */
export function localeOf(given: unknown): string {
  if (typeof given !== 'string') return 'en';
  try {
    return new Intl.Locale(given).toString();
  } catch {
    throw new BadInput(`--locale: "${given}" is no language; give one such as en or de`);
  }
}
