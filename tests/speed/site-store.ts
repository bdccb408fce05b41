import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { inventedSerial } from '../../electron/station/audit/invented-job.ts';
import type { ChainPiece } from '../../electron/station/site/local-chain.ts';
import { connectSite } from '../../electron/station/site/site-client.ts';
import type { SiteSession } from '../../electron/station/site/site-session.ts';
import { SiteBench } from '../site/site-bench.ts';
import { loadText } from './row.ts';
import { type GrowingChain, growChain } from './site-chain.ts';

export const benches = 8;
const jobsAPiece = 100;
const firstDay = Date.UTC(2026, 0, 1);
/** Ten million events are 156 250 jobs at each of eight benches: they fill seventeen months. */
const betweenJobs = 280_000;
const sayEveryMilliseconds = 30_000;
/** Memory as a small server of its own has it. Every commit waits for the disk, as usual. */
const settings = { shared_buffers: '1GB', max_wal_size: '4GB', checkpoint_timeout: '15min' };

export type Say = (line: string) => void;

const loadedSchema = z.object({ events: z.int(), jobs: z.array(z.int()).length(benches) });
/** What was loaded: events at the site, and jobs of each bench. */
export type Loaded = z.infer<typeof loadedSchema>;

/** Starts the server of a folder, which is made unless it is there, for filling or measuring. */
export function startStore(folder: string): Promise<SiteBench> {
  return SiteBench.start(settings, folder);
}

/** What `loadStore` left in a folder. */
export function readLoaded(folder: string): Loaded {
  return loadedSchema.parse(JSON.parse(readFileSync(loadedFile(folder), 'utf8')));
}

const loadedFile = (folder: string) => join(folder, 'loaded.json');

/** Serial of a job that `loadStore` pushed. */
export function loadedSerial(bench: number, job: number): string {
  return inventedSerial(1 + job * benches + bench);
}

/** A chain of invented jobs that begin where a bench has done so many. */
export function chainOf(name: string, bench: number, jobsDone: number): GrowingChain {
  return growChain(
    name,
    (job) => loadedSerial(bench, jobsDone + job),
    (job) => firstDay + (jobsDone + job) * betweenJobs,
  );
}

/**
 * Fills a site store through `push`, as benches do, and leaves it in the folder, stopped.
 *
 * @param size events that are wanted
 * @param minutes filling ends after this time at whatever size it has reached
 */
export async function loadStore(folder: string, size: number, minutes: number, say: Say): Promise<Loaded> {
  if (existsSync(loadedFile(folder))) throw new Error(`${folder} is filled already`);
  const site = await startStore(folder);
  const loaded = { events: 0, jobs: Array.from({ length: benches }, () => 0) };
  const keep = () => writeFileSync(loadedFile(folder), JSON.stringify(loaded));
  const chains: GrowingChain[] = [];
  const sessions: SiteSession[] = [];
  try {
    for (let bench = 0; bench < benches; bench++) {
      await site.addBench(`bench-${bench}`);
      sessions.push(await site.session(`bench-${bench}`));
      chains.push(chainOf(`station-${bench}`, bench, 0));
    }
    const end = performance.now() + minutes * 60_000;
    let told = performance.now();
    // Two benches at a time, by turns: while the server works for one, the next piece of the other is made.
    const lanes = [0, 1].map(async (lane) => {
      for (let turn = 0; loaded.events < size && performance.now() < end; turn++) {
        const bench = (turn * 2 + lane) % benches;
        const [chain, session] = [chains[bench], sessions[bench]];
        if (chain === undefined || session === undefined) throw new Error(`no bench ${bench}`);
        const { piece } = await pushPiece(chain, session);
        // Not in one line with the waiting: the other lane counts meanwhile.
        loaded.events += piece.events.length;
        loaded.jobs[bench] = (loaded.jobs[bench] ?? 0) + jobsAPiece;
        if (performance.now() - told < sayEveryMilliseconds) continue;
        told = performance.now();
        keep();
        say(`${loaded.events} events (load ${loadText()})`);
      }
    });
    await Promise.all(lanes);
    keep();
    // What a server does by itself some time after so much was written.
    const client = await connectSite(site.access('site_administrator'), { statementMs: 3_600_000 });
    await client.query('VACUUM (ANALYZE)');
    await client.end();
    return loaded;
  } finally {
    for (const session of sessions) await session.close();
    await site.end();
  }
}

/** The time of the push alone, in milliseconds, and its piece. */
export async function pushPiece(
  chain: GrowingChain,
  session: SiteSession,
): Promise<{ readonly milliseconds: number; readonly piece: ChainPiece }> {
  const piece = chain.piece(jobsAPiece);
  const start = performance.now();
  const answer = await session.push(chain.stationId, piece);
  const milliseconds = performance.now() - start;
  if (!answer.accepted) throw new Error(`refused: ${answer.reason} ${answer.detail}`);
  return { milliseconds, piece };
}
