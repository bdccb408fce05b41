import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { type BundleCounts, writeBundle } from '../audit/bundle.ts';
import { withFaults } from '../store/store-fault.ts';
import { openBranches, type SiteBranch } from './site-branches.ts';
import type { SiteClient } from './site-client.ts';
import { fetchJobs, jobsOfSerial, type SiteJobs } from './site-jobs.ts';
import { readStreams } from './site-register.ts';
import { chainTables, querySite, stretchesOf } from './site-rows.ts';
import { visitsOf } from './site-serial.ts';

/**
 * Writes the evidence of one serial into a folder: in it one folder for each station that had it, a signed bundle as
 * that station makes it, which checks itself. What a station left behind is a bundle of its own.
 *
 * @param target a folder that does not exist yet
 * @param at now, ISO 8601 with offset
 * @returns what went in; refuses a serial that never came
 * @throws SiteFault, StoreFault
 */
export async function writeSerialBundles(
  client: SiteClient,
  serial: string,
  target: string,
  at: string,
): Promise<Result<BundleCounts>> {
  const { branches, close } = openBranches(
    await withKeysAndEnds(client, await fetchJobs(client, jobsOfSerial(serial))),
  );
  try {
    if (branches.length === 0)
      return refuse('serial_unknown', 'serial', 'This serial was never here; check it.');
    withFaults(() => mkdirSync(target, { recursive: true }));
    const sums = { events: 0, records: 0, documents: 0 };
    const withVisits = new Set(
      visitsOf(branches, serial).map(({ stationId, branch }) => `${stationId} ${branch}`),
    );
    for (const branch of branches) {
      if (!withVisits.has(`${branch.stationId} ${branch.branch}`)) continue;
      const written = wholeBundle(branch, join(target, folderOf(branch)), serial, at);
      if (!written.ok) return written;
      for (const name of ['events', 'records', 'documents'] as const) sums[name] += written.value[name];
    }
    return ok(sums);
  } finally {
    close();
  }
}

function wholeBundle(
  { reader, database }: SiteBranch,
  target: string,
  serial: string,
  at: string,
): Result<BundleCounts> {
  const steps = writeBundle({
    ...{ reader, database, target, at },
    filter: { serial },
    documentsOf: jobEvidence.documentsOf,
  });
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}

/** A bench may have had several stations, and a station several branches. */
function folderOf({ benchId, chainId }: SiteBranch): string {
  return `${benchId}-${chainId}`;
}

/** The jobs with what a bundle needs besides: the keys that each station introduced, and the signed end of each branch. */
async function withKeysAndEnds(client: SiteClient, jobs: SiteJobs): Promise<SiteJobs> {
  const { chains, rows } = jobs;
  const keys = await readStreams(
    client,
    chains.map(({ chain_id }) => chain_id),
    ['station'],
  );
  const places = chains.flatMap((chain) => {
    const ofStation = chains.filter(({ station_id }) => station_id === chain.station_id);
    return stretchesOf(ofStation, chain).map(({ chainId, upTo }) => ({ chainId, upTo }));
  });
  const values = [places.map(({ chainId }) => chainId), places.map(({ upTo }) => upTo)];
  // The last seal of each stretch, and the one that it names.
  const seals = await querySite(
    client,
    chainTables.seal.schema.extend({ chain_id: z.int() }),
    `SELECT s.chain_id, s.sequence, s.stream, s.key_id, s.signature, s.link
     FROM unnest($1::integer[], $2::bigint[]) AS p (chain_id, up_to), LATERAL (
       SELECT * FROM bandwright.seal WHERE chain_id = p.chain_id AND sequence <= p.up_to ORDER BY sequence DESC LIMIT 2
     ) AS s`,
    values,
  );
  const ends = await querySite(
    client,
    chainTables.event.schema.extend({ chain_id: z.int() }),
    `SELECT chain_id, ${chainTables.event.select} FROM bandwright.event
     WHERE (chain_id, sequence) IN (SELECT * FROM unnest($1::integer[], $2::bigint[]))`,
    [seals.map(({ chain_id }) => chain_id), seals.map(({ sequence }) => sequence)],
  );
  return { ...jobs, rows: { ...rows, event: [...(rows.event ?? []), ...keys, ...ends], seal: seals } };
}
