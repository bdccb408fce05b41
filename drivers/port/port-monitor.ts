import { ReadlineParser } from '@serialport/parser-readline';
import type { BytePort, Unsubscribe } from './byte-port.ts';
import type { Arrival } from './clock.ts';
import { createListenerSet } from './listener-set.ts';

/** One line of the port monitor. */
export interface MonitorLine extends Arrival {
  /** `line` up to a line feed; `cut` a piece of a line that is longer than the monitor shows; `note` about the port. */
  readonly kind: 'line' | 'cut' | 'note';
  /** Printable text; every other byte is written like `\x02`, `\r`. */
  readonly text: string;
}

export interface PortMonitor {
  /** The last lines, oldest first. */
  readonly lines: readonly MonitorLine[];
  onLine(listener: (line: MonitorLine) => void): Unsubscribe;
  stop(): void;
}

/** Longest line that is shown as one, in bytes. */
const longestLine = 256;
const mostLines = 200;

/**
 * Shows a port to a person, line by line, whatever the instrument is: for setting up and for teaching. It judges
 * nothing; readings come from the decoder, which frames by itself.
 *
 * The parser of `@serialport/parser-readline` has no cap, keeps a half line over a lost port, and gives out a half
 * line as whole when it is ended. So each opening gets a new one, which is never ended, and a long line is cut
 * before the parser sees more of it.
 */
export function monitorPort(port: BytePort): PortMonitor {
  const listeners = createListenerSet<[MonitorLine]>();
  const lines: MonitorLine[] = [];
  let now: Arrival = { arrivedAtMilliseconds: 0, arrivedAt: '' };
  let parser = createParser();
  /** Bytes that the parser holds since the last line feed. */
  let held: Uint8Array[] = [];
  let heldBytes = 0;

  function createParser(): ReadlineParser {
    // Object mode: without it lines that were not read yet are glued together (measured).
    const fresh = new ReadlineParser({
      delimiter: '\n',
      encoding: 'latin1',
      includeDelimiter: true,
      readableObjectMode: true,
    });
    fresh.on('data', (line: string) => show('line', showBytes(Buffer.from(line, 'latin1'))));
    return fresh;
  }
  /** Shows what is held as a piece and goes on with a new parser, which knows nothing of it. */
  function cutLine(): void {
    const text = showBytes(Buffer.concat(held));
    parser = createParser();
    held = [];
    heldBytes = 0;
    showSoon('cut', text);
  }
  /** After the lines that the parser has found but not given out yet. */
  function showSoon(kind: MonitorLine['kind'], text: string): void {
    process.nextTick(() => show(kind, text));
  }
  function show(kind: MonitorLine['kind'], text: string): void {
    const line = { kind, text, ...now };
    lines.push(line);
    if (lines.length > mostLines) lines.shift();
    listeners.tell(line);
  }

  const stopBytes = port.onBytes((chunk, arrival) => {
    now = arrival;
    for (let start = 0; start < chunk.length; ) {
      const feed = chunk.indexOf(0x0a, start);
      const end = Math.min(feed < 0 ? chunk.length : feed + 1, start + longestLine - heldBytes);
      const piece = chunk.subarray(start, end);
      start = end;
      parser.write(piece);
      if (end - 1 === feed) {
        held = [];
        heldBytes = 0;
        continue;
      }
      held.push(piece);
      heldBytes += piece.length;
      if (heldBytes < longestLine) continue;
      cutLine();
    }
  });
  const stopStates = port.onState((state) => {
    if ('since' in state) now = state.since;
    if (heldBytes > 0) cutLine();
    showSoon('note', state.kind);
  });

  return {
    get lines() {
      return [...lines];
    },
    onLine: (listener) => listeners.add(listener),
    stop() {
      stopBytes();
      stopStates();
    },
  };
}

const namedBytes: Readonly<Record<number, string>> = { 9: '\\t', 10: '\\n', 13: '\\r', 92: '\\\\' };

/** Writes bytes for people: printable ASCII as it is, the rest like `\x02`. */
export function showBytes(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) {
    const named = namedBytes[byte];
    if (named !== undefined) text += named;
    else if (byte >= 0x20 && byte < 0x7f) text += String.fromCharCode(byte);
    else text += `\\x${byte.toString(16).padStart(2, '0')}`;
  }
  return text;
}
