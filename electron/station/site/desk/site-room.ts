import { z } from 'zod';
import type { AuditFilter } from '../../../../shared/audit/filter.ts';
import type {
  FoundJobView,
  SearchPageView,
  SiteChainView,
  SiteLotView,
} from '../../../../shared/audit/view.ts';
import type { TimelineView } from '../../../../shared/contract.ts';
import { ok, type Result } from '../../../../shared/result.ts';
import { beginOf, endOf } from '../../audit/day-range.ts';
import { foundJobs } from '../../audit/found-job.ts';
import { namesOfPeople } from '../../audit/people-names.ts';
import { createVisitView } from '../../audit/timeline-view.ts';
import type { CaptureFilter } from '../../store/filters.ts';
import { openBranches, placeOfBranch } from '../site-branches.ts';
import type { SiteClient } from '../site-client.ts';
import { fetchJobs, jobsByName, jobsOfSerial } from '../site-jobs.ts';
import { traceSiteLot } from '../site-lot.ts';
import { withNames } from '../site-names.ts';
import { querySite, readChains } from '../site-rows.ts';
import { searchSite } from '../site-search.ts';
import { type SiteVisit, visitsOf } from '../site-serial.ts';
import { certificateHash } from './site-choices.ts';

const jobsOnPage = 50;
const serialsOffered = 50;
const usesShown = 1000;

/** Where a visit was, as a screen names it. */
export function placeOf({
  benchId,
  stationId,
  branch,
  isLeftBehind,
}: Pick<SiteVisit, 'benchId' | 'stationId' | 'branch' | 'isLeftBehind'>) {
  return { benchId, stationId, branch, leftBehind: isLeftBehind };
}

/**
 * Every visit of a serial at every bench, as the audit screen shows it.
 *
 * @throws SiteFault
 */
export async function siteTimeline(client: SiteClient, serial: string): Promise<TimelineView> {
  const jobs = await withNames(client, await fetchJobs(client, jobsOfSerial(serial)));
  const { branches, close } = openBranches(jobs);
  try {
    const visits = visitsOf(branches, serial).map((one) => ({
      ...createVisitView(one.reader, namesOfPeople(one.reader))(one.visit),
      place: placeOf(one),
    }));
    return { serial, visits };
  } finally {
    close();
  }
}

/**
 * Serials that begin with a text, in their order; of no text the ones that came last.
 *
 * @throws SiteFault
 */
export async function siteSerials(
  client: SiteClient,
  text: string,
): Promise<{ serials: { serial: string; headId: string; lastVisitAt: string }[] }> {
  const row = z.object({
    serial: z.string(),
    headId: z.string(),
    lastVisitAt: z.date().transform((at) => at.toISOString()),
  });
  const columns = 'serial, head_id AS "headId", opened_at AS "lastVisitAt"';
  // The newest jobs stand at the end of an index; each serial of them once.
  const newest = `SELECT DISTINCT ON (serial) ${columns} FROM (
      SELECT serial, head_id, opened_at FROM bandwright.job ORDER BY opened_at DESC LIMIT 400
    ) AS newest ORDER BY serial, opened_at DESC`;
  const beginning = `WITH RECURSIVE one (value, n) AS (
      (SELECT min(serial), 1 FROM bandwright.job WHERE serial >= $1)
      UNION ALL
      SELECT (SELECT min(serial) FROM bandwright.job WHERE serial > one.value), n + 1 FROM one
      WHERE starts_with(one.value, $1) AND n < ${serialsOffered}
    ) SELECT last.* FROM one, LATERAL (
      SELECT ${columns} FROM bandwright.job j WHERE j.serial = one.value ORDER BY opened_at DESC LIMIT 1
    ) AS last WHERE starts_with(one.value, $1)`;
  const serials =
    text === '' ? await querySite(client, row, newest) : await querySite(client, row, beginning, [text]);
  const newestFirst = serials.toSorted((a, b) => b.lastVisitAt.localeCompare(a.lastVisitAt));
  return { serials: newestFirst.slice(0, serialsOffered) };
}

/**
 * The filter of a screen as the index of the site understands it.
 *
 * @throws SiteFault
 */
export async function siteFilter(
  client: SiteClient,
  { certificate, from, until, ...filter }: AuditFilter,
): Promise<Result<CaptureFilter>> {
  const hash = certificate === undefined ? ok(undefined) : await certificateHash(client, certificate);
  if (!hash.ok) return hash;
  return ok({ ...filter, certificateHash: hash.value, from: beginOf(from), until: endOf(until) });
}

/**
 * A page of a search, newest first.
 *
 * @param before the instant at which the page before ended, in milliseconds since 1970
 * @throws SiteFault
 */
export async function siteSearchPage(
  client: SiteClient,
  asked: AuditFilter,
  before: number | null,
): Promise<Result<SearchPageView>> {
  const filter = await siteFilter(client, asked);
  if (!filter.ok) return filter;
  const openedBefore = before === null ? undefined : new Date(before).toISOString();
  const hits = await searchSite(client, filter.value, jobsOnPage, openedBefore);
  const fetched = await withNames(client, await fetchJobs(client, jobsByName(hits)));
  const { branches, close } = openBranches(fetched);
  try {
    const jobs = hits.flatMap(({ stationId, jobId }): FoundJobView[] => {
      const branch = branches.find(
        (one) => one.stationId === stationId && one.reader.findJob(jobId) !== undefined,
      );
      if (branch === undefined) return [];
      const place = placeOfBranch(branch);
      return foundJobs(branch.reader, [jobId], namesOfPeople(branch.reader)).map((job) => ({
        ...job,
        place,
      }));
    });
    const last = hits.at(-1);
    const isFull = hits.length >= jobsOnPage && last !== undefined;
    return ok({ jobs, before: isFull ? Date.parse(last.openedAt) : null });
  } finally {
    close();
  }
}

/**
 * A lot at every bench that used it, as the audit screen shows it.
 *
 * @throws SiteFault
 */
export async function siteLotViews(
  client: SiteClient,
  lotId: string,
): Promise<{ lots: SiteLotView[]; cut: boolean }> {
  const { traces, isCut } = await traceSiteLot(client, lotId, usesShown);
  return { lots: traces.map(({ place, trace: { lot, jobs } }) => ({ place, lot, jobs })), cut: isCut };
}

/**
 * The chains of every station, by bench.
 *
 * @throws SiteFault
 */
export async function siteChainViews(client: SiteClient): Promise<SiteChainView[]> {
  const chains = await readChains(client, null);
  const newest = new Map(chains.map(({ station_id, branch }) => [station_id, branch]));
  return chains
    .map((chain) => ({
      chainId: chain.chain_id,
      benchId: chain.bench_id,
      stationId: chain.station_id,
      branch: chain.branch,
      leftBehind: chain.branch !== newest.get(chain.station_id),
      events: chain.sequence,
      forkedAfter: chain.forked_after,
      receivedAt: chain.received_at.toISOString(),
    }))
    .sort((a, b) => a.benchId.localeCompare(b.benchId, 'en', { numeric: true }) || a.chainId - b.chainId);
}
