import { type ChildProcess, fork } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { chanceOf } from '../../electron/station/audit/invented-job.ts';
import type { Problem } from '../../electron/station/audit/problem.ts';
import { stationReplay } from '../../electron/station/audit/station-replay.ts';
import { verifyFolder } from '../../electron/station/audit/verify-folder.ts';
import type { OutboxStatus } from '../../electron/station/site/outbox.ts';
import { copyChain } from '../../electron/station/site/site-copy.ts';
import { writeSiteFile } from '../../electron/station/site/site-file.ts';
import { readChains } from '../../electron/station/site/site-rows.ts';
import { testDatabase } from '../../electron/station/site/test-server.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { type CuttingProxy, startCuttingProxy } from './cutting-proxy.ts';
import { SiteBench } from './site-bench.ts';

export interface StormOptions {
  readonly seconds: number;
  readonly stations: number;
  /** Milliseconds between two events of a station. */
  readonly pace: number;
  readonly seed: number;
  readonly say: (line: string) => void;
}

/** What the storm did and what came of it. */
export interface StormReport {
  readonly cuts: number;
  readonly restarts: number;
  readonly kills: number;
  /** Events that stations acknowledged. */
  readonly acknowledged: number;
  /** Of those, what is not at the site under its hash. */
  readonly missing: number;
  /** Events at the site beyond one for each place of a chain. */
  readonly repeated: number;
  /** Events at the site in all. */
  readonly events: number;
  /** Pushes that the server refused. */
  readonly refused: number;
  /** Chains that do not end where their station ends. */
  readonly short: number;
  readonly problems: readonly Problem[];
}

/** One station over all its lives. */
class StormStation {
  readonly folder: string;
  readonly stationId: string;
  readonly acknowledged = new Map<number, string>();
  readonly #pace: number;
  #life = 0;
  #child: ChildProcess | undefined;
  status: OutboxStatus | null = null;
  calmAt: number | null = null;

  constructor(folder: string, stationId: string, pace: number) {
    this.folder = folder;
    this.stationId = stationId;
    this.#pace = pace;
  }

  async start(): Promise<void> {
    this.#life += 1;
    const first = String(this.#life * 100_000);
    const program = join(import.meta.dirname, 'storm-station.ts');
    const child = fork(program, [this.folder, this.stationId, first, String(this.#pace)], {
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    });
    let said = '';
    child.stderr?.setEncoding('utf8').on('data', (text: string) => {
      said = (said + text).slice(-4000);
    });
    this.#child = child;
    child.on('exit', (code) => {
      if (code !== null && code !== 0)
        process.stderr.write(`${this.stationId} ended with ${code}: ${said}\n`);
    });
    await new Promise<void>((done, failed) => {
      child.once('exit', (code) => failed(new Error(`${this.stationId} ended with code ${code}: ${said}`)));
      child.on(
        'message',
        (message: {
          sequence?: number;
          hash?: string;
          status?: OutboxStatus | null;
          calm?: number;
          bug?: unknown;
        }) => {
          if (message.bug !== undefined)
            process.stderr.write(`${this.stationId}: ${JSON.stringify(message.bug)}\n`);
          if (message.sequence !== undefined && message.hash !== undefined)
            this.acknowledged.set(message.sequence, message.hash);
          if (message.status !== undefined) this.status = message.status;
          if (message.calm !== undefined) this.calmAt = message.calm;
          done();
        },
      );
    });
  }

  async kill(): Promise<void> {
    await this.#end('SIGKILL');
  }

  calm(): void {
    this.#child?.send('calm');
  }

  get isDone(): boolean {
    return (
      this.calmAt !== null && this.status?.state === 'up_to_date' && this.status.acknowledged >= this.calmAt
    );
  }

  async end(): Promise<void> {
    const child = this.#child;
    if (child === undefined || child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise<void>((done) => child.once('exit', () => done()));
    child.send('end');
    await ended;
  }

  async #end(signal: NodeJS.Signals): Promise<void> {
    const child = this.#child;
    if (child === undefined || child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise<void>((done) => child.once('exit', () => done()));
    child.kill(signal);
    await ended;
  }
}

/** Stations push while connections are cut, the server is restarted or crashes, and they themselves are killed. */
export async function runStorm(options: StormOptions): Promise<StormReport> {
  const { seconds, pace, seed, say } = options;
  const site = await SiteBench.start();
  const proxy = await startCuttingProxy(site.server.port);
  const stations: StormStation[] = [];
  try {
    for (let index = 0; index < options.stations; index++) {
      const login = `bench-${index}`;
      await site.addBench(login);
      const station = new StormStation(site.stationFolder(login), `station-${index}`, pace);
      stations.push(station);
      mkdirSync(station.folder, { recursive: true });
      writeSiteFile(station.folder, {
        url: `postgresql://${login}@127.0.0.1:${proxy.port}/${testDatabase}`,
        passwordFile: site.passwordFile(login),
      });
    }
    await Promise.all(stations.map((station) => station.start()));
    const done = await rage(site, proxy, stations, { seconds, seed, say });
    say('calm');
    for (const station of stations) station.calm();
    await settled(stations, say);
    await Promise.all(stations.map((station) => station.end()));
    return { ...done, ...(await checked(site, stations)) };
  } finally {
    await Promise.all(stations.map((station) => station.kill()));
    await proxy.close();
    await site.end();
  }
}

/** Everything that can happen, one after the other, for so long and until each has happened. */
async function rage(
  site: SiteBench,
  proxy: CuttingProxy,
  stations: readonly StormStation[],
  { seconds, seed, say }: Pick<StormOptions, 'seconds' | 'seed' | 'say'>,
): Promise<Pick<StormReport, 'cuts' | 'restarts' | 'kills'>> {
  const end = performance.now() + seconds * 1000;
  const done = { cuts: 0, restarts: 0, kills: 0 };
  let told = performance.now();
  for (let step = 0; performance.now() < end || Math.min(...Object.values(done)) === 0; step++) {
    await wait(300 + chanceOf(seed, step * 3) * 1200);
    const what = chanceOf(seed, step * 3 + 1);
    if (what < 0.5) done.cuts += proxy.cut();
    else if (what < 0.85) {
      const station = stations[Math.floor(chanceOf(seed, step * 3 + 2) * stations.length)];
      await station?.kill();
      await station?.start();
      done.kills += 1;
    } else {
      await site.server.stop(what < 0.93 ? 'fast' : 'immediate');
      await wait(200);
      await site.server.start();
      done.restarts += 1;
    }
    if (performance.now() - told < 30_000) continue;
    told = performance.now();
    say(
      `${JSON.stringify(done)}, ${stations.reduce((sum, { acknowledged }) => sum + acknowledged.size, 0)} acknowledged`,
    );
  }
  return done;
}

/** Until every station has everything at the site. Ends with an error when that takes minutes. */
async function settled(stations: readonly StormStation[], say: (line: string) => void): Promise<void> {
  const end = performance.now() + 120_000;
  while (!stations.every(({ isDone }) => isDone)) {
    if (performance.now() > end) {
      for (const { stationId, status, calmAt } of stations)
        say(`${stationId}: ${calmAt} ${JSON.stringify(status)}`);
      throw new Error('the stations did not bring everything to the site within two minutes of calm');
    }
    await wait(100);
  }
}

async function checked(
  site: SiteBench,
  stations: readonly StormStation[],
): Promise<Omit<StormReport, 'cuts' | 'restarts' | 'kills'>> {
  const problems: Problem[] = [];
  let [missing, short, acknowledged] = [0, 0, 0];
  await site.as('auditor', async (client) => {
    for (const station of stations) {
      const chains = await readChains(client, [station.stationId]);
      const [branch] = chains;
      if (branch === undefined || chains.length !== 1)
        throw new Error(`${station.stationId} has ${chains.length} chains`);
      const { rows } = await client.query<{ sequence: string; hash: Buffer }>(
        'SELECT sequence, hash FROM bandwright.event WHERE chain_id = $1',
        [branch.chain_id],
      );
      const atSite = new Map(rows.map(({ sequence, hash }) => [Number(sequence), hash.toString('hex')]));
      for (const [sequence, hash] of station.acknowledged) if (atSite.get(sequence) !== hash) missing += 1;
      acknowledged += station.acknowledged.size;
      const evidence = openEvidence(station.folder);
      if (evidence.lastSequence() !== branch.sequence) short += 1;
      evidence.close();
      const copy = site.stationFolder(`copy-of-${station.stationId}`);
      await copyChain(client, chains, branch, copy);
      const onProblem = (problem: Problem) => problems.push(problem);
      const walk = verifyFolder({ folder: copy, trustedKeys: [], replay: stationReplay, onProblem });
      while (walk.next().done !== true);
    }
  });
  const events = await site.count('SELECT count(*) FROM bandwright.event');
  const places = await site.count('SELECT sum(sequence) FROM bandwright.chain_head');
  const refused = await site.count('SELECT count(*) FROM bandwright.refused_push');
  return { acknowledged, missing, repeated: events - places, events, refused, short, problems };
}

/** Run by itself: MINUTES (default 10) of storm. */
if (import.meta.main) {
  const minutes = Number(process.argv[2] ?? '10');
  const report = await runStorm({
    ...{ seconds: minutes * 60, stations: 8, pace: 50, seed: Date.now() % 1_000_000 },
    say: (line) => process.stderr.write(`${new Date().toISOString()} ${line}\n`),
  });
  process.stdout.write(`${JSON.stringify(report, undefined, 2)}\n`);
  const { missing, repeated, refused, short, problems } = report;
  process.exitCode = missing + repeated + refused + short + problems.length === 0 ? 0 : 1;
}
