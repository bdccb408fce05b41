import type { ExportWish } from '../../../../shared/audit/filter.ts';
import { ok, type Result, refuse } from '../../../../shared/result.ts';
import type { ExportCounts, ExportRunOptions } from '../../audit/export-run.ts';
import type { runImpact } from '../../audit/impact-run.ts';
import { wholeFile } from '../../audit/whole-file.ts';
import { writeChainBundle, writeSerialBundles } from '../site-bundle.ts';
import type { SiteClient } from '../site-client.ts';
import { exportSiteReadings } from '../site-export.ts';
import { siteFaultOf } from '../site-fault.ts';
import { judgeSiteAgain } from '../site-impact.ts';
import type { SiteLine } from './site-line.ts';

/** A bundle is of one serial at all benches, or of one whole chain. */
export function bundleRefusal({ filter, chainId }: ExportWish): Result<never> | null {
  const given = Object.entries(filter).flatMap(([name, value]) => (value === undefined ? [] : [name]));
  const isOfSerial = chainId === undefined && given.length === 1 && given[0] === 'serial';
  return isOfSerial || (chainId !== undefined && given.length === 0)
    ? null
    : refuse(
        'bundle_of_serial',
        'filter',
        'At a site a bundle is of one serial or of one whole chain; give that alone.',
      );
}

/** Exports readings of all benches into a file, or the evidence of a serial or a chain. Null when `signal` stopped it. */
export function createSiteExport(
  line: Pick<SiteLine, 'alone'>,
): (options: ExportRunOptions) => Promise<Result<ExportCounts> | null> {
  return (options) =>
    alone<ExportCounts>(line, async (client) => {
      const { target, format, style, filter, at, chainId, onProgress, signal } = options;
      if (format === 'bundle' && chainId !== undefined) return writeChainBundle(client, chainId, options);
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
