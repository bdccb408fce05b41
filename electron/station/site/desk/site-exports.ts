import { ok, type Result, refuse } from '../../../../shared/result.ts';
import type { ExportCounts, ExportRunOptions } from '../../audit/export-run.ts';
import { wholeFile } from '../../audit/whole-file.ts';
import { exportSiteReadings } from '../site-export.ts';
import { siteFaultOf } from '../site-fault.ts';
import type { SiteLine } from './site-line.ts';

/** Exports readings of all benches into a file. Null when `signal` stopped it. */
export function createSiteExport(
  line: Pick<SiteLine, 'alone'>,
): (options: ExportRunOptions) => Promise<Result<ExportCounts> | null> {
  return async ({ target, format, style, filter, onProgress, signal }) => {
    if (format === 'bundle') {
      return refuse('no_site_bundle', 'format', 'A bundle is of one station; make it with export --station.');
    }
    const file = wholeFile(target);
    try {
      return await line.alone(async (client) => {
        let omitted = 0;
        for await (const piece of exportSiteReadings(client, { format, style, filter: filter ?? {} })) {
          if (signal?.aborted === true) return null;
          file.write(piece.text);
          omitted = piece.omitted;
          onProgress?.({ done: piece.done, total: piece.total });
        }
        file.complete();
        return ok({ omitted });
      });
    } catch (error) {
      const fault = siteFaultOf(error);
      if (fault === undefined) throw error;
      return refuse(fault.code, '', fault.message);
    } finally {
      file.close();
    }
  };
}
