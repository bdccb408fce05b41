import { readVisit, type Visit } from '../audit/timeline.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { openBranches, type SiteBranch } from './site-branches.ts';
import type { SiteClient } from './site-client.ts';
import { fetchJobs, jobsOfSerial } from './site-jobs.ts';

/** A visit of a serial, and where it was. */
export interface SiteVisit {
  readonly benchId: string;
  readonly stationId: string;
  readonly branch: number;
  /** True for what only an older branch has: the station went on without it. */
  readonly isLeftBehind: boolean;
  readonly visit: Visit;
  /** Answers for this visit, as that of a station does. */
  readonly reader: EvidenceReader;
}

/** Visits of a serial, oldest first. Close it when they are told: their readers answer until then. */
export interface SiteTimeline {
  readonly visits: readonly SiteVisit[];
  close(): void;
}

/**
 * Every visit of a serial at every bench of the site, oldest first.
 *
 * @throws SiteFault
 */
export async function readSiteVisits(client: SiteClient, serial: string): Promise<SiteTimeline> {
  const { branches, close } = openBranches(await fetchJobs(client, jobsOfSerial(serial)));
  return { visits: visitsOf(branches, serial), close };
}

/** Visits of a serial in branches, oldest first: what the newest branch of a station has, and what older ones alone have. */
export function visitsOf(branches: readonly SiteBranch[], serial: string): readonly SiteVisit[] {
  const shown = new Set<string>();
  return branches
    .flatMap(({ benchId, stationId, branch, isOlder, reader }) =>
      reader.openedOfSerial(serial).flatMap((job): SiteVisit[] => {
        const visit = readVisit(reader, job);
        // A newer branch that took the visit over tells it whole.
        const end = visit.events.at(-1)?.stored.hash ?? '';
        if (isOlder && shown.has(`${stationId} ${end}`)) return [];
        for (const { stored } of visit.events) shown.add(`${stationId} ${stored.hash}`);
        return [{ benchId, stationId, branch, isLeftBehind: isOlder, visit, reader }];
      }),
    )
    .sort((a, b) => a.visit.job.openedAt.localeCompare(b.visit.job.openedAt));
}
