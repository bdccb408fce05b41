import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, statfsSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { setTimeout as sleep } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { WebSocket } from 'ws';
import { createSystemClock } from '../../drivers/port/clock.ts';
import { generateJobs } from '../../electron/station/audit/generate.ts';
import { chanceOf, inventedSerial } from '../../electron/station/audit/invented-job.ts';
import { readingRoomQuestions, readingRoomSources } from '../../electron/station/audit/reading-room-calls.ts';
import { databaseName, openDatabaseToRead } from '../../electron/station/store/database.ts';
import type { AuditFilter } from '../../shared/audit/filter.ts';
import type { CallName, CallParameters, News } from '../../shared/contract.ts';
import { loadText, quantile, timed } from './row.ts';

/**
 * The volumes of the auditor's desk, each in one run (nothing here is asserted):
 *   node tests/speed/volume.ts [JOBS]… [--folder DIR] [--lookups N] [--seconds N]
 * 1. by serial against the bare indexed SELECT of the same rows, at each number of jobs, and its growth;
 * 2. searches and charts, the rare ones too;
 * 3. live readings of the simulated bench without and with a full export and a verification beside them.
 * Default 10000 and 100000 jobs in a temporary folder that goes away; with --folder each database is kept in a folder of
 * its own number. A million jobs take 21 GB and about fifteen minutes of one processor to invent.
 */
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { folder: { type: 'string' }, lookups: { type: 'string' }, seconds: { type: 'string' } },
});
const sizes = (positionals.length > 0 ? positionals.map(Number) : [10_000, 100_000]).sort((a, b) => a - b);
const folder = values.folder ?? mkdtempSync(join(tmpdir(), 'bandwright-volume-'));
const lookups = Number(values.lookups ?? 1000);
const seconds = Number(values.seconds ?? 20);
const bytesPerJob = 22_000;

function shown(figures: readonly number[]): string {
  const at = (share: number) => quantile(figures, share).toFixed(3);
  return `p50 ${at(0.5)}  p99 ${at(0.99)}  max ${at(1)} ms`;
}

function folderOf(size: number): string {
  return join(folder, String(size));
}

function jobsIn(folder: string): number {
  if (!existsSync(join(folder, databaseName))) return 0;
  const database = openDatabaseToRead(folder);
  const count = database.prepare<[], number>('SELECT count(*) FROM job').pluck().get() ?? 0;
  database.close();
  return count;
}

function fillUp(size: number): void {
  const folder = folderOf(size);
  mkdirSync(folder, { recursive: true });
  const present = jobsIn(folder);
  if (present >= size) return;
  const { bavail, bsize } = statfsSync(folder);
  const wanted = (size - present) * bytesPerJob * 1.2;
  if (bavail * bsize < wanted) throw new Error(`${(wanted / 1e9).toFixed(0)} GB of free disk are needed`);
  let told = performance.now();
  const took = timed(() =>
    generateJobs({
      folder,
      clock: createSystemClock(),
      count: size - present,
      first: present + 1,
      onProgress(done) {
        if (performance.now() - told < 30_000) return;
        told = performance.now();
        process.stderr.write(`${present + done} jobs\n`);
      },
    }),
  );
  const bytes = statSync(join(folder, databaseName)).size;
  const rate = Math.round((size - present) / (took / 1000));
  console.log(`${size} jobs: ${rate} a second added, ${(bytes / 1e9).toFixed(2)} GB`);
}

/** One database under the clock. */
interface Subject {
  readonly size: number;
  /** Milliseconds of the first and the second look at the same serials. */
  readonly bare: readonly [number[], number[]];
  readonly ours: readonly [number[], number[]];
  look(round: number, pass: 0 | 1): void;
  close(): void;
}

function subjectOf(size: number): Subject {
  const database = openDatabaseToRead(folderOf(size));
  const sources = readingRoomSources(database, () => performance.now());
  const events = database.prepare(
    `SELECT event.* FROM job JOIN event ON event.stream = 'job/' || job.job_id WHERE job.serial = ? ORDER BY event.sequence`,
  );
  const records = database.prepare('SELECT hash FROM record WHERE serial = ? ORDER BY sequence');
  const bare: Subject['bare'] = [[], []];
  const ours: Subject['ours'] = [[], []];
  return {
    size,
    bare,
    ours,
    look(round, pass) {
      const serial = inventedSerial(1 + Math.floor(chanceOf(round, size) * size));
      const select = () =>
        timed(() => {
          events.all(serial);
          records.all(serial);
        });
      const timeline = () => timed(() => readingRoomQuestions.timeline.answer(sources, { serial }));
      // Which comes first finds the pages cold: by turns.
      const [one, other] = round % 2 === 0 ? [select(), timeline()] : [timeline(), select()].reverse();
      if (round < 0 || one === undefined || other === undefined) return;
      bare[pass].push(one);
      ours[pass].push(other);
    },
    close: () => database.close(),
  };
}

/** Every size by turns, so that what else the machine does meets all of them. */
function bySerial(): void {
  const subjects = sizes.map(subjectOf);
  for (const pass of [0, 1] as const) {
    // The first lookups of a process are slower for both: code is still being compiled.
    for (let round = -100; round < lookups; round++)
      for (const subject of subjects) subject.look(round, pass);
  }
  for (const { size, bare, ours, close } of subjects) {
    close();
    for (const pass of [0, 1] as const) {
      const ratio = (share: number) => (quantile(ours[pass], share) / quantile(bare[pass], share)).toFixed(2);
      const when =
        pass === 0 ? 'first look, most pages from the disk where the file is large' : 'second look';
      console.log(`${size} jobs, ${lookups} serials, ${when}`);
      console.log(`  bare SELECT  ${shown(bare[pass])}`);
      console.log(`  by serial    ${shown(ours[pass])}`);
      console.log(`  ratio        ${ratio(0.5)} at p50, ${ratio(0.99)} at p99`);
    }
  }
  const [first, last] = [subjects[0], subjects.at(-1)];
  if (first === undefined || last === undefined || first === last) return;
  for (const pass of [0, 1] as const) {
    const growth = (of: 'ours' | 'bare', share: number) =>
      (quantile(last[of][pass], share) / quantile(first[of][pass], share)).toFixed(2);
    console.log(
      `growth ${first.size} → ${last.size} jobs, ${pass === 0 ? 'first' : 'second'} look: by serial ${growth('ours', 0.5)} at p50, ${growth('ours', 0.99)} at p99; SELECT ${growth('bare', 0.5)} at p50, ${growth('bare', 0.99)} at p99`,
    );
  }
}

const searches: Readonly<Record<string, AuditFilter>> = {
  'the newest jobs': {},
  'one head': { headId: 'invented-head-2' },
  'one person': { personId: 'person-3' },
  'one instrument': { instrumentId: 'wrench-1' },
  'a certificate': { certificate: 'INV-scale-1' },
  'an early lot': { lotId: 'lot-3' },
  'all that failed': { decision: 'fail' },
  'passed on an early day': { decision: 'pass', from: '2020-02-01', until: '2020-02-01' },
  'a head, a person and an instrument': {
    headId: 'invented-head-1',
    personId: 'person-5',
    instrumentId: 'scale-1',
  },
  'a person who was never here': { personId: 'nobody' },
  'an instrument that a head never had': { headId: 'no-such-head', instrumentId: 'scale-1' },
};

function searchAndChart(folder: string): void {
  const database = openDatabaseToRead(folder);
  const sources = readingRoomSources(database, () => performance.now());
  console.log('searches, first page, and charts of 100 and 500 readings (first and second time)');
  const twice = (name: string, work: () => string) => {
    let what = '';
    const took = [0, 1].map(() =>
      timed(() => {
        what = work();
      }),
    );
    console.log(`  ${name.padEnd(38)} ${took.map((one) => one.toFixed(1).padStart(8)).join('')} ms  ${what}`);
  };
  for (const [name, filter] of Object.entries(searches)) {
    twice(name, () => {
      const page = readingRoomQuestions.searchJobs.answer(sources, { filter, before: null });
      return page.ok
        ? `${page.value.jobs.length} jobs${page.value.before === null ? '' : ' and more'}`
        : page.error.code;
    });
  }
  for (const last of [100, 500]) {
    twice(`chart of ${last} torques of a head`, () => {
      const chart = readingRoomQuestions.processChart.answer(sources, {
        filter: { quantity: 'torque', headId: 'invented-head-1' },
        last,
        rules: 'Nelson',
      });
      return chart.ok ? `${chart.value.points.length} points` : chart.error.code;
    });
  }
  twice('chart of 500 early masses of a person', () => {
    const chart = readingRoomQuestions.processChart.answer(sources, {
      filter: { quantity: 'mass', personId: 'person-2', until: '2020-03-01' },
      last: 500,
      rules: 'Western Electric',
    });
    return chart.ok ? `${chart.value.points.length} points` : chart.error.code;
  });
  twice('what there is to choose from', () => {
    const choices = readingRoomQuestions.searchChoices.answer(sources, {});
    return choices.ok ? `${choices.value.lots.length} lots` : '';
  });
  database.close();
}

/** A screen without a page: it signs in, calls, and hears the news. */
class BareScreen {
  readonly #socket: WebSocket;
  readonly #waiting = new Map<number, (answer: { ok: boolean }) => void>();
  readonly #listeners = new Set<(news: News) => void>();
  #next = 1;

  private constructor(socket: WebSocket) {
    this.#socket = socket;
    socket.on('message', (data) => {
      const message = JSON.parse(String(data));
      if ('news' in message) for (const listener of this.#listeners) listener(message);
      else this.#waiting.get(message.id)?.(message);
    });
  }

  static async open(url: string): Promise<BareScreen> {
    const answer = await fetch(url, { redirect: 'manual' });
    const cookie = answer.headers.getSetCookie()[0]?.split(';')[0] ?? '';
    const { origin, host } = new URL(url);
    const socket = new WebSocket(`ws://${host}/station`, { headers: { cookie, origin } });
    await new Promise((ready, failed) => socket.once('open', ready).once('error', failed));
    return new BareScreen(socket);
  }

  call<Name extends CallName>(call: Name, parameters: CallParameters<Name>): Promise<{ ok: boolean }> {
    const id = this.#next++;
    return new Promise((resolve) => {
      this.#waiting.set(id, resolve);
      this.#socket.send(JSON.stringify({ id, call, parameters }));
    });
  }

  listen(listener: (news: News) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  close(): void {
    this.#socket.terminate();
  }
}

interface ServedBench {
  readonly screen: BareScreen;
  stop(): Promise<void>;
}

/** The station in a process of its own, as `serve` runs it, with a lead signed in. */
async function serveBench(folder: string): Promise<ServedBench> {
  const entry = resolve(import.meta.dirname, '../../electron/station/command-line.ts');
  const station: ChildProcess = spawn(process.execPath, [entry, 'serve', '--json', '--data', folder], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const ended = new Promise<void>((done) => station.once('exit', () => done()));
  const url = await new Promise<string>((ready) => {
    if (station.stdout === null) return;
    createInterface({ input: station.stdout }).on('line', (line) => {
      if (line.startsWith('{"ready"')) ready(JSON.parse(line).url);
    });
  });
  const screen = await BareScreen.open(url);
  const signedIn = await screen.call('signIn', { personId: 'cedar', pin: '7391' });
  if (!signedIn.ok) throw new Error('the lead of the demo workshop could not sign in');
  return {
    screen,
    async stop() {
      screen.close();
      station.kill('SIGTERM');
      await ended;
    },
  };
}

/**
 * How late live readings of the scale are. `delay`: from their arrival at the station's port to the screen, above the
 * quickest one; `gap`: how much longer than usual the time between two was.
 */
async function listen(screen: BareScreen): Promise<{ delay: number[]; gap: number[] }> {
  const arrivals: { at: number; received: number }[] = [];
  const stop = screen.listen((news) => {
    if (news.news !== 'live' || news.live.instrumentId !== 'scale-1') return;
    arrivals.push({ at: news.live.atMilliseconds, received: performance.now() });
  });
  await sleep(seconds * 1000);
  stop();
  const offsets = arrivals.map(({ at, received }) => received - at);
  const quickest = Math.min(...offsets);
  const gaps = arrivals.slice(1).map(({ received }, index) => received - (arrivals[index]?.received ?? 0));
  const usual = quantile(gaps, 0.5);
  return {
    delay: offsets.map((offset) => offset - quickest),
    gap: gaps.map((gap) => Math.max(0, gap - usual)),
  };
}

async function besideLive(folder: string): Promise<void> {
  console.log(`live readings of the simulated scale, ${seconds} s each`);
  const print = (name: string, { delay, gap }: { delay: number[]; gap: number[] }) => {
    console.log(
      `  ${name.padEnd(24)} delay ${shown(delay)}   gap ${shown(gap)}   (${delay.length} readings)`,
    );
  };
  const quiet = await serveBench(folder);
  await sleep(2000);
  print('alone', await listen(quiet.screen));
  let told = '';
  quiet.screen.listen((news) => {
    if (news.news === 'export')
      told = `${news.progress.state} ${news.progress.done} of ${news.progress.total}`;
    if (news.news === 'verify') told = `${news.progress.done} of ${news.progress.total}`;
  });
  await quiet.screen.call('startExport', { format: 'jsonl', filter: {}, language: 'en' });
  print('beside a full export', await listen(quiet.screen));
  console.log(`    the export: ${told}`);
  await quiet.stop();

  const verified = await serveBench(folder);
  await sleep(2000);
  print('alone again', await listen(verified.screen));
  verified.screen.listen((news) => {
    if (news.news === 'verify') told = `${news.progress.done} of ${news.progress.total}`;
  });
  await verified.screen.call('verify', {});
  print('beside a verification', await listen(verified.screen));
  console.log(`    the verification: ${told}`);
  const searching = (async () => {
    for (const end = performance.now() + seconds * 1000; performance.now() < end; ) {
      for (const filter of Object.values(searches)) {
        await verified.screen.call('searchJobs', { filter, before: null });
        await verified.screen.call('processChart', { filter: { quantity: 'mass' }, last: 500 });
      }
    }
  })();
  print('and searches and charts', await listen(verified.screen));
  await searching;
  await verified.stop();
}

for (const size of sizes) fillUp(size);
console.log(`load ${loadText()}`);
bySerial();
const largest = folderOf(sizes.at(-1) ?? 0);
searchAndChart(largest);
await besideLive(largest);
console.log(`load ${loadText()}`);
if (values.folder === undefined) rmSync(folder, { recursive: true, force: true });
