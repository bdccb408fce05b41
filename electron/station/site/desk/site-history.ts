import { readRecordSource } from '../../documents/document-source.ts';
import { type DocumentOptions, drawSerialHistory } from '../../documents/make-document.ts';
import { openBranches } from '../site-branches.ts';
import type { SiteClient } from '../site-client.ts';
import { fetchJobs, jobsOfSerial } from '../site-jobs.ts';
import { withNames } from '../site-names.ts';
import { visitsOf } from '../site-serial.ts';
import { placeOf } from './site-room.ts';

/**
 * Every visit of a serial at every bench in one PDF, oldest first, each with its bench; undefined for a serial that
 * never came.
 *
 * @throws SiteFault; StoreFault for a visit that was altered, since a print of it would not be the record
 */
export async function siteHistory(
  client: SiteClient,
  serial: string,
  options: DocumentOptions,
): Promise<Uint8Array | undefined> {
  const jobs = await withNames(client, await fetchJobs(client, jobsOfSerial(serial)));
  const { branches, close } = openBranches(jobs);
  try {
    const sources = visitsOf(branches, serial).flatMap((one) => {
      const source = readRecordSource(one.reader, one.visit.job.jobId);
      return source === undefined ? [] : [{ ...source, place: placeOf(one) }];
    });
    return await drawSerialHistory(serial, sources, options);
  } finally {
    close();
  }
}
