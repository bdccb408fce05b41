import type { AuditFilter } from '../../../../shared/audit/filter.ts';
import { ok, type Result, refuse } from '../../../../shared/result.ts';
import type { ExportCounts, ExportRunOptions } from '../../audit/export-run.ts';
import type { runImpact } from '../../audit/impact-run.ts';
import { wholeFile } from '../../audit/whole-file.ts';
import { writeSerialBundles } from '../site-bundle.ts';
import type { SiteClient } from '../site-client.ts';
import { exportSiteReadings } from '../site-export.ts';
import { siteFaultOf } from '../site-fault.ts';
import { judgeSiteAgain } from '../site-impact.ts';
import type { SiteLine } from './site-line.ts';

/** A bundle is of one serial: everything of a station is for the command to fetch, which takes its time. */
export function bundleRefusal({ serial, ...more }: AuditFilter): Result<never> | null {
  const isOfSerial = serial !== undefined && Object.values(more).every((value) => value === undefined);
  return isOfSerial
    ? null
    : refuse('bundle_of_serial', 'filter', 'At a site a bundle is of one serial; give that alone.');
}

/** Exports readings of all benches into a file, or the evidence of a serial. Null when `signal` stopped it. */
export function createSiteExport(
  line: Pick<SiteLine, 'alone'>,
): (options: ExportRunOptions) => Promise<Result<ExportCounts> | null> {
  return (options) =>
    alone<ExportCounts>(line, async (client) => {
      const { target, format, style, filter, at, onProgress, signal } = options;
      if (format === 'bundle') return writeSerialBundles(client, filter?.serial ?? '', target, at);
      const file = wholeFile(target);
      try {
        let omitted = 0;
        for await (const piece of exportSiteReadings(client, { format, style, filter: filter ?? {} })) {
          if (signal?.aborted === true) return null;
          file.write(piece.text);
          omitted = piece.omitted;
          onProgress?.({ done: piece.done, total: piece.total });
        }
        file.complete();
        return ok({ omitted });
      } finally {
        file.close();
      }
    });
}

/** Judges captures of all benches again. Null when `signal` stopped it. */
export function createSiteImpact(line: Pick<SiteLine, 'alone'>): typeof runImpact {
  return (options) => alone(line, (client) => judgeSiteAgain(client, options));
}

/** Works on a connection of its own; what is at fault at the site is said as a refusal. */
async function alone<Value>(
  line: Pick<SiteLine, 'alone'>,
  work: (client: SiteClient) => Promise<Result<Value> | null>,
): Promise<Result<Value> | null> {
  try {
    return await line.alone(work);
  } catch (error) {
    const fault = siteFaultOf(error);
    if (fault === undefined) throw error;
    return refuse(fault.code, '', fault.message);
  }
}
