import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { type CsvStyle, csvOf } from '../audit/csv.ts';
import { type ExportPiece, readingLine } from '../audit/export-readings.ts';
import { placeColumns, placeRow } from '../audit/place-row.ts';
import { readingColumns, readingRow } from '../audit/reading-row.ts';
import { readVisit, type Visit } from '../audit/timeline.ts';
import type { CaptureFilter } from '../store/filters.ts';
import { openBranches, placeOfBranch, type SiteBranch } from './site-branches.ts';
import type { SiteClient } from './site-client.ts';
import { withSiteFaults } from './site-fault.ts';
import { fetchJobs, jobsByName } from './site-jobs.ts';
import { type SiteReading, siteReadings } from './site-readings.ts';

export interface SiteExport {
  readonly format: 'csv' | 'jsonl';
  readonly filter: CaptureFilter;
  /** For CSV. */
  readonly style: CsvStyle;
}

const columns = [...placeColumns, ...readingColumns];
const chunk = 200;

/**
 * Captured readings of all benches one by one, in the order of time, in bounded memory, all as of one moment: as the
 * export of a station has them, each with its bench. Whoever runs it may stop.
 *
 * @throws SiteFault
 */
export async function* exportSiteReadings(
  client: SiteClient,
  { format, filter, style }: SiteExport,
): AsyncGenerator<ExportPiece, void> {
  await withSiteFaults(() => client.query('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY'));
  try {
    const readings = siteReadings(client, filter);
    const total = await readings.count();
    let [done, omitted] = [0, 0];
    if (format === 'csv') yield { text: csvOf([], columns, style, true), done, total, omitted };
    for (let last: SiteReading | null = null; ; ) {
      const some: readonly SiteReading[] = await readings.next(last, chunk);
      last = some.at(-1) ?? null;
      if (last === null) return;
      const { branches, close } = openBranches(await fetchJobs(client, jobsByName(some)));
      try {
        const visits = visitsIn(branches);
        const texts = some.flatMap((reading) => {
          const found = visits.of(reading);
          return found === undefined ? [] : [textOf(found, format, style)];
        });
        done += some.length;
        omitted += some.length - texts.length;
        yield { text: texts.join(''), done, total, omitted };
      } finally {
        close();
      }
    }
  } finally {
    await client.query('ROLLBACK').catch(() => undefined);
  }
}

interface FoundReading {
  readonly branch: SiteBranch;
  readonly visit: Visit;
  readonly capture: Visit['captures'][number];
}

function textOf({ branch, visit, capture }: FoundReading, format: 'csv' | 'jsonl', style: CsvStyle): string {
  const place = placeOfBranch(branch);
  if (format === 'jsonl')
    return `${canonicalJson({ ...place, ...readingLine(branch.reader, visit, capture) })}\n`;
  return csvOf([{ ...placeRow(place), ...readingRow(visit, capture) }], columns, style, false);
}

/** Readings in the newest branch that has them; undefined for one that was altered or removed. */
function visitsIn(branches: readonly SiteBranch[]): { of(reading: SiteReading): FoundReading | undefined } {
  const known = new Map<string, Visit | undefined>();
  return {
    of({ stationId, chainId, sequence, jobId }) {
      const branch = branches.find((one) => one.stationId === stationId && one.has(chainId, sequence));
      if (branch === undefined) return undefined;
      const name = `${stationId} ${branch.branch} ${jobId}`;
      if (!known.has(name)) {
        const job = branch.reader.findJob(jobId);
        known.set(name, job && readVisit(branch.reader, job));
      }
      const visit = known.get(name);
      const capture = visit?.captures.find(({ stored }) => stored.sequence === sequence);
      return visit === undefined || capture === undefined ? undefined : { branch, visit, capture };
    },
  };
}
