import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { z } from 'zod';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { type BundleCounts, writeBundle } from '../audit/bundle.ts';
import { type ExportCounts, type ExportRunOptions, runExport } from '../audit/export-run.ts';
import { withFaults } from '../store/store-fault.ts';
import { openBranches, type SiteBranch } from './site-branches.ts';
import type { SiteClient } from './site-client.ts';
import { copyChain } from './site-copy.ts';
import { fetchJobs, jobsOfSerial, type SiteJobs } from './site-jobs.ts';
import { readStreams } from './site-register.ts';
import { chainTables, querySite, readChains, stretchesOf } from './site-rows.ts';
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

/**
 * Writes a whole chain into a bundle, as its station makes it, from a copy that goes away. The copy lies beside the
 * bundle and takes about as much room.
 *
 * @param target a folder that does not exist yet
 * @returns what went in; refuses a chain that the site has not; null where `signal` stopped it
 * @throws SiteFault, StoreFault
 */
export async function writeChainBundle(
  client: SiteClient,
  chainId: number,
  options: Pick<ExportRunOptions, 'target' | 'at' | 'onProgress' | 'signal'>,
): Promise<Result<ExportCounts> | null> {
  const { target, at, onProgress, signal } = options;
  const all = await readChains(client, null);
  const branch = all.find(({ chain_id }) => chain_id === chainId);
  if (branch === undefined)
    return refuse('chain_unknown', 'chainId', 'The site has no such chain; choose one of the list.');
  const chains = all.filter(({ station_id }) => station_id === branch.station_id);
  const folder = mkdtempSync(join(dirname(target), 'copy-'));
  // Every event is fetched, and then written.
  const total = 2 * branch.sequence;
  try {
    const isWhole = await copyChain(client, chains, branch, folder, {
      onProgress: ({ done }) => onProgress?.({ done, total }),
      signal,
    });
    if (!isWhole) return null;
    return await runExport({
      ...{ folder, target, at, format: 'bundle', style: 'iso', filter: null },
      onProgress: ({ done }) => onProgress?.({ done: branch.sequence + done, total }),
      ...(signal === undefined ? {} : { signal }),
    });
  } finally {
    rmSync(folder, { recursive: true, force: true });
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
