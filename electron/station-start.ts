import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import type { UtilityProcess } from 'electron';
import {
  messageOfLine,
  readFaultMessage,
  readKeyStoreMessage,
  readReadyMessage,
  type StationFault,
} from './station-message.ts';
import type { StationEnd, StationRun } from './station-process.ts';

/** Room for young objects, in MB: V8's own 16 fill up with what live readings leave behind. */
const youngObjects = '--max-semi-space-size=4';

/**
 * Starts the station in a Node child. The child gets a channel to its parent: when the parent is gone, however it
 * ended, the channel closes and the station must end itself. It has a process group of its own, so that Ctrl-C in
 * a terminal reaches the parent, which then ends it in order.
 *
 * @param compileCache folder in which Node keeps the station's modules as it compiled them: the next start is quicker
 */
export function startStationInNode(
  node: string,
  entry: string,
  args: readonly string[],
  compileCache?: string,
): StationRun {
  const child = spawn(node, [youngObjects, entry, ...args], {
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
    env: { ...process.env, ...(compileCache === undefined ? {} : { NODE_COMPILE_CACHE: compileCache }) },
    detached: process.platform !== 'win32',
    windowsHide: true,
  });
  const lastWords = forwardErrors(child.stderr);
  const messages = createMessages();
  readLines(child.stdout, (line) => {
    if (!messages.take(messageOfLine(line))) process.stderr.write(`${line}\n`);
  });
  return {
    ...messages.said,
    ended: endOf(child, lastWords, messages.fault),
    stop: () => {
      child.kill('SIGTERM');
    },
    kill: () => {
      child.kill('SIGKILL');
    },
  };
}

/** Starts the station in Electron's own Node, where that one can run it (Node-API 10 and later). */
export function startStationInElectron(child: UtilityProcess): StationRun {
  const lastWords = forwardErrors(child.stderr);
  if (child.stdout) readLines(child.stdout as Readable, () => undefined);
  const messages = createMessages();
  child.on('message', (message) => messages.take(message));
  return {
    ...messages.said,
    ended: new Promise((resolve) => {
      child.once('exit', (code) =>
        resolve({ how: `exit code ${code}`, lastWords: lastWords(), fault: messages.fault() }),
      );
    }),
    stop: () => {
      child.kill();
    },
    kill: () => {
      if (child.pid !== undefined) process.kill(child.pid, 'SIGKILL');
    },
  };
}

/** What a station says about its start. */
function createMessages() {
  const ready = Promise.withResolvers<string>();
  const keyStore = Promise.withResolvers<string>();
  let fault: StationFault | undefined;
  return {
    said: { ready: ready.promise, waitsForKeyStore: keyStore.promise },
    fault: () => fault,
    /** False for what is no message of the station. */
    take(message: unknown): boolean {
      const url = readReadyMessage(message);
      const name = readKeyStoreMessage(message);
      const failed = readFaultMessage(message);
      if (url !== undefined) ready.resolve(url);
      if (name !== undefined) keyStore.resolve(name);
      fault = failed ?? fault;
      return url !== undefined || name !== undefined || failed !== undefined;
    },
  };
}

function readLines(stream: Readable | null, take: (line: string) => void): void {
  if (stream !== null)
    createInterface({ input: stream, crlfDelay: Number.POSITIVE_INFINITY }).on('line', take);
}

/** Passes the station's messages on and remembers the last one. */
function forwardErrors(stream: NodeJS.ReadableStream | null): () => string {
  let last = '';
  readLines(stream as Readable | null, (line) => {
    process.stderr.write(`${line}\n`);
    if (line.trim() !== '') last = line.trim();
  });
  return () => last;
}

function endOf(
  child: ChildProcess,
  lastWords: () => string,
  fault: () => StationFault | undefined,
): Promise<StationEnd> {
  return new Promise((resolve) => {
    child.once('error', (error) => resolve({ how: error.message, lastWords: lastWords() }));
    child.once('close', (code, signal) =>
      resolve({
        how: signal === null ? `exit code ${code}` : `signal ${signal}`,
        lastWords: lastWords(),
        fault: fault(),
      }),
    );
  });
}
