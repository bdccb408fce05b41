import type { ImpactReportView } from '../../../shared/audit/impact-view.ts';
import { ok, type Result } from '../../../shared/result.ts';
import { capturesAbout, judgeEntryAgain } from '../audit/impact.ts';
import { impactFile } from '../audit/impact-file.ts';
import { impactQuestion } from '../audit/impact-question.ts';
import type { ImpactRunOptions } from '../audit/impact-run.ts';
import { openBranches, placeOfBranch } from './site-branches.ts';
import { inStation } from './site-chart.ts';
import type { SiteClient } from './site-client.ts';
import { withSiteFaults } from './site-fault.ts';
import { fetchJobs, jobsByName } from './site-jobs.ts';
import { type SiteReading, siteReadings } from './site-readings.ts';
import { openRegister } from './site-register.ts';

const chunk = 200;

/**
 * Judges the captures of an instrument again with what a calibration in the register of one station found: all that
 * this station made, and those of every other bench that were made with one of the instrument's certificates. All as
 * of one moment, in bounded memory. Null when `signal` stopped it.
 *
 * @throws SiteFault
 */
export async function judgeSiteAgain(
  client: SiteClient,
  {
    stationId = '',
    target,
    style,
    instrumentId,
    certificateHash,
    since,
    onProgress,
    signal,
  }: ImpactRunOptions,
): Promise<Result<ImpactReportView> | null> {
  await withSiteFaults(() => client.query('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY'));
  try {
    const asked = inStation(await openRegister(client, stationId), ({ reader }) =>
      impactQuestion(reader, instrumentId, certificateHash, since),
    );
    if (!asked.ok) return asked;
    const { report, window, head, certificateHashes } = asked.value;
    const readings = siteReadings(client, {
      ...capturesAbout(instrumentId, window),
      knownAt: { stationId, certificateHashes },
    });
    const total = await readings.count();
    const file = impactFile(target, style, true);
    try {
      for (let last: SiteReading | null = null; ; ) {
        const some: readonly SiteReading[] = await readings.next(last, chunk);
        last = some.at(-1) ?? null;
        if (last === null) return ok(file.complete(head));
        const { branches, close } = openBranches(await fetchJobs(client, jobsByName(some)));
        try {
          for (const reading of some) {
            const { chainId, sequence } = reading;
            const branch = branches.find(
              (one) => one.stationId === reading.stationId && one.has(chainId, sequence),
            );
            const judged = branch && judgeEntryAgain(branch.reader, reading, report, window);
            if (branch === undefined) file.add('altered');
            else if (judged != null) file.add(judged, placeOfBranch(branch));
          }
        } finally {
          close();
        }
        onProgress?.({ done: file.seen(), total });
        if (signal?.aborted === true) return null;
      }
    } finally {
      file.close();
    }
  } finally {
    await client.query('ROLLBACK').catch(() => undefined);
  }
}
