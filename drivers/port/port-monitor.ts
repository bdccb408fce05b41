import { ReadlineParser } from '@serialport/parser-readline';
import type { BytePort, Unsubscribe } from './byte-port.ts';
import { type Arrival, type Clock, readArrival } from './clock.ts';
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

/** A line that the parser will give out, or a note that stands between two lines. */
type Expected = Arrival &
  ({ readonly kind: 'line' | 'cut' } | { readonly kind: 'note'; readonly text: string });

const lineFeed = Uint8Array.of(0x0a);

/**
 * Shows a port to a person, line by line, whatever the instrument is: for setting up and for teaching. It judges
 * nothing; readings come from the decoder, which frames by itself.
 *
 * The parser of `@serialport/parser-readline` has no cap, keeps a half line over a lost port, and gives out a half
 * line as whole when it is ended. So each opening gets a new one, which is never ended, and a line that grows too
 * long is ended for it with a line feed of ours.
 */
export function monitorPort(port: BytePort, clock: Clock): PortMonitor {
  const listeners = createListenerSet<[MonitorLine]>();
  const lines: MonitorLine[] = [];
  /** In the order in which the parser gives out; it may do so later than it was written to. */
  const expected: Expected[] = [];
  let parser = createParser();
  /** Bytes that the parser holds since the last line feed. */
  let heldBytes = 0;

  function createParser(): ReadlineParser {
    const fresh = new ReadlineParser({
      delimiter: '\n',
      encoding: 'latin1',
      // Without object mode lines that were not read yet are glued together (measured).
      readableObjectMode: true,
    });
    fresh.on('data', (line: string) => {
      const about = expected.shift();
      if (about !== undefined) show(about, line);
      showNotes();
    });
    return fresh;
  }

  function show(about: Expected, line: string): void {
    const { kind, arrivedAtMilliseconds, arrivedAt } = about;
    const text =
      kind === 'note' ? about.text : showBytes(Buffer.from(line, 'latin1')) + (kind === 'line' ? '\\n' : '');
    const entry = { kind, text, arrivedAtMilliseconds, arrivedAt };
    lines.push(entry);
    if (lines.length > mostLines) lines.shift();
    listeners.tell(entry);
  }
  function showNotes(): void {
    for (let first = expected[0]; first?.kind === 'note'; first = expected[0]) {
      expected.shift();
      show(first, '');
    }
  }
  function cutLine(arrival: Arrival): void {
    heldBytes = 0;
    expected.push({ kind: 'cut', ...arrival });
    parser.write(lineFeed);
  }

  const stopBytes = port.onBytes((chunk, arrival) => {
    for (let start = 0; start < chunk.length; ) {
      const feed = chunk.indexOf(0x0a, start);
      const lineEnd = feed < 0 ? chunk.length : feed + 1;
      const end = Math.min(lineEnd, start + longestLine - heldBytes);
      const isWhole = feed >= 0 && end === lineEnd;
      // The parser passes over empty lines.
      if (isWhole && heldBytes + end - start > 1) expected.push({ kind: 'line', ...arrival });
      parser.write(chunk.subarray(start, end));
      heldBytes = isWhole ? 0 : heldBytes + end - start;
      if (heldBytes >= longestLine) cutLine(arrival);
      start = end;
    }
  });
  const stopStates = port.onState((state) => {
    const arrival = 'since' in state ? state.since : readArrival(clock);
    if (heldBytes > 0) cutLine(arrival);
    parser = createParser();
    expected.push({ kind: 'note', text: state.kind, ...arrival });
    if (expected.length === 1) showNotes();
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
