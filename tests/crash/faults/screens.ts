import { type ChildProcess, fork, spawn } from 'node:child_process';
import { get } from 'node:http';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { WebSocket } from 'ws';
import type { Random } from '../../../drivers/simulated/random.ts';
import { lockFolder } from '../../../electron/station/store/folder-lock.ts';
import { loadDemoWorkshop } from '../../../seeds/index.ts';
import type { Answer, News } from '../../../shared/contract.ts';
import type { JobCommandKind } from '../../../shared/job/command.ts';
import { interruption } from './interruption.ts';
import { Ledger } from './ledger.ts';
import type { FaultRow } from './row.ts';
import { besideFolder, withFolder } from './station-child.ts';

const sourceFolder = join(import.meta.dirname, '..', '..', '..');
/** A fault comes after so many answers at most, and then a little later. */
const mostAnswers = 60;
const mostMilliseconds = 4;
const screensAtOnce = 4;

/** A served station and how it is ended without warning. */
interface Served {
  readonly url: string;
  kill(): void;
  readonly gone: Promise<void>;
}

/** The station as `electron/main.ts` starts it in a Node child. */
function startServed(folder: string): Promise<Served> {
  const entry = join(sourceFolder, 'electron', 'station', 'main.ts');
  const child = spawn(process.execPath, [entry, '--data', folder], {
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
    env: besideFolder(folder),
  });
  return untilServed(child);
}

/** The same with a program in between that stands for Electron's main process and is the one that is killed. */
function startBehindWindow(folder: string): Promise<Served> {
  const program = join(import.meta.dirname, 'window-program.ts');
  return untilServed(
    fork(program, ['--data', folder], {
      stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
      env: besideFolder(folder),
    }),
  );
}

function untilServed(child: ChildProcess): Promise<Served> {
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  return new Promise((resolve, reject) => {
    let text = '';
    let lastWords = '';
    child.stderr?.setEncoding('utf8').on('data', (piece: string) => {
      lastWords = (lastWords + piece).slice(-1000);
    });
    child.stdout?.setEncoding('utf8').on('data', (piece: string) => {
      text += piece;
      const line = /^(\{.*\})\n/m.exec(text)?.[1];
      if (line === undefined) return;
      const { url }: { url: string } = JSON.parse(line);
      resolve({ url, kill: () => child.kill('SIGKILL'), gone });
    });
    void gone.then(() => reject(new Error(`the station ended before it was ready: ${lastWords}`)));
  });
}

/** A screen that commands as fast as it is answered, and notes what was answered: what a person saw green. */
class CommandingScreen {
  readonly #socket: WebSocket;
  readonly #ledger: Ledger;
  readonly #opened: Promise<void>;
  readonly #waiting = new Map<number, (answer: Answer) => void>();
  #picture: () => void = () => undefined;
  /** Resolves when the station has sent the whole picture. */
  readonly picture = new Promise<void>((resolve) => {
    this.#picture = resolve;
  });
  #id = 0;

  constructor(origin: string, cookie: string, ledger: Ledger) {
    this.#ledger = ledger;
    this.#socket = new WebSocket(`${origin.replace('http', 'ws')}/station`, { headers: { cookie, origin } });
    this.#socket.on('error', () => undefined);
    this.#opened = new Promise((resolve, reject) => {
      this.#socket.once('open', resolve);
      this.#socket.once('error', reject);
    });
    this.#socket.on('message', (data) => {
      const message: Answer | News = JSON.parse(String(data));
      if (!('news' in message)) this.#waiting.get(message.id)?.(message);
      else if (message.news === 'snapshot') this.#picture();
    });
  }

  async call(call: string, parameters: object): Promise<Answer> {
    await this.#opened;
    this.#id += 1;
    const id = this.#id;
    this.#socket.send(JSON.stringify({ id, call, parameters }));
    return new Promise((resolve) => this.#waiting.set(id, resolve));
  }

  /** Opens a job, acknowledges its caution, writes notes in it and abandons it, for ever. Never answered: never ends. */
  async work(name: string): Promise<void> {
    for (let number = 1; ; number += 1) {
      const serial = `${name}-${number}`;
      const { jobId } = await this.#command({ kind: 'openJob', serial, headId: 'head-slate-short' });
      await this.#command({ kind: 'acknowledgeCaution', jobId, stepId: 'make-safe' });
      for (let note = 1; note <= 4; note += 1) {
        await this.#command({ kind: 'writeNote', jobId, text: `note ${note} on ${serial}` });
      }
      await this.#command({ kind: 'abandonJob', jobId, reason: 'a fault was tried' });
    }
  }

  async #command(command: { kind: JobCommandKind; [name: string]: unknown }): Promise<{ jobId: string }> {
    const answer = await this.call('command', { command });
    if (!answer.ok) throw new Error(`${command.kind}: ${JSON.stringify(answer)}`);
    const { jobId, version } = answer.value as { jobId: string; version: number };
    this.#ledger.note({ command: command.kind, jobId, version, hash: null });
    return { jobId };
  }

  cut(): void {
    this.#socket.terminate();
  }
}

/** Spends the key of an address; returns the cookie. */
function enter(url: string): Promise<string> {
  return new Promise((resolve, reject) => {
    get(url, (response) => {
      response.resume();
      resolve(response.headers['set-cookie']?.[0]?.split(';')[0] ?? '');
    }).on('error', reject);
  });
}

async function signIn(url: string): Promise<string> {
  const pin = loadDemoWorkshop().people.find(({ personId }) => personId === 'amber')?.fictionalPin;
  const cookie = await enter(url);
  const screen = new CommandingScreen(new URL(url).origin, cookie, new Ledger());
  const answer = await screen.call('signIn', { personId: 'amber', pin });
  screen.cut();
  if (!answer.ok) throw new Error(`amber was not let in: ${JSON.stringify(answer)}`);
  return cookie;
}

/** Starts screens that work; a mistake in one of them is a complaint. */
function startScreens(served: Served, cookie: string, ledger: Ledger, name: string, complaints: string[]) {
  return Array.from({ length: screensAtOnce }, (_, index) => {
    const screen = new CommandingScreen(new URL(served.url).origin, cookie, ledger);
    screen.work(`${name}-${index}`).catch((error: Error) => complaints.push(error.message));
    return screen;
  });
}

/** Waits until screens have had some more answers, and a little longer: within a commit, or between two. */
async function untilAnswered(ledger: Ledger, random: Random): Promise<void> {
  const wanted = ledger.acknowledged + 1 + Math.floor(random.next() * mostAnswers);
  while (ledger.acknowledged < wanted) await wait(1);
  await wait(random.next() * mostMilliseconds);
}

/** What serves the screens is killed while they command; it comes back with the same sessions. */
function killBehindScreens(
  fault: string,
  start: (folder: string) => Promise<Served>,
  rounds: number,
  random: Random,
): Promise<FaultRow> {
  return withFolder(async (folder) => {
    const ledger = new Ledger();
    const complaints: string[] = [];
    const recovered: number[] = [];
    let served = await start(folder);
    const cookie = await signIn(served.url);
    for (let round = 0; round < rounds && !interruption.signal.aborted; round += 1) {
      const screens = startScreens(served, cookie, ledger, `K${round}`, complaints);
      await Promise.all(screens.map(({ picture }) => picture));
      await untilAnswered(ledger, random);
      served.kill();
      const killedAt = performance.now();
      await served.gone;
      for (const screen of screens) screen.cut();
      served = await startAgain(() => start(folder));
      recovered.push(performance.now() - killedAt);
      ledger.check(folder);
    }
    served.kill();
    await served.gone;
    await untilFree(folder);
    const outcome = ledger.close(folder);
    return {
      fault,
      rounds: recovered.length,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      ...outcome,
      recoveredMilliseconds: recovered,
      complaints: [...complaints, ...outcome.complaints],
      note: `${screensAtOnce} screens; kill until the next one serves`,
    };
  });
}

/** The window goes on trying while the old station still ends: it holds the folder until it has. */
async function startAgain(start: () => Promise<Served>): Promise<Served> {
  for (const until = performance.now() + 60_000; ; ) {
    try {
      return await start();
    } catch (error) {
      if (performance.now() > until) throw error;
    }
  }
}

/** A station without a parent ends by itself and lets the folder go. */
async function untilFree(folder: string): Promise<void> {
  for (const until = performance.now() + 30_000; ; await wait(20)) {
    try {
      return lockFolder(folder).release();
    } catch (error) {
      if (performance.now() > until) throw error;
    }
  }
}

export function killServedStation(rounds: number, random: Random): Promise<FaultRow> {
  return killBehindScreens('station killed (kill -9) while screens command it', startServed, rounds, random);
}

export function killWindowProgram(rounds: number, random: Random): Promise<FaultRow> {
  return killBehindScreens('window program (main) killed (kill -9)', startBehindWindow, rounds, random);
}

/** Screens (renderers) are cut off in the middle of commands and come back; the station stays. */
export function cutScreens(rounds: number, random: Random): Promise<FaultRow> {
  return withFolder(async (folder) => {
    const ledger = new Ledger();
    const complaints: string[] = [];
    const recovered: number[] = [];
    const served = await startServed(folder);
    const cookie = await signIn(served.url);
    for (let round = 0; round < rounds && !interruption.signal.aborted; round += 1) {
      const screens = startScreens(served, cookie, ledger, `C${round}`, complaints);
      await Promise.all(screens.map(({ picture }) => picture));
      await untilAnswered(ledger, random);
      for (const screen of screens) screen.cut();
      const cutAt = performance.now();
      const next = new CommandingScreen(new URL(served.url).origin, cookie, ledger);
      await next.picture;
      recovered.push(performance.now() - cutAt);
      next.cut();
    }
    served.kill();
    await served.gone;
    const outcome = ledger.close(folder);
    return {
      fault: 'screens (renderer) cut off in the middle of commands',
      rounds: recovered.length,
      acknowledged: ledger.acknowledged,
      captures: ledger.captures,
      ...outcome,
      recoveredMilliseconds: recovered,
      complaints: [...complaints, ...outcome.complaints],
      note: `${screensAtOnce} screens; cut until the next one has the picture`,
    };
  });
}
