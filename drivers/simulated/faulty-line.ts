import type { Clock } from '../port/clock.ts';
import type { InstrumentLine } from '../port/instrument-line.ts';
import type { Fault } from './fault-script.ts';
import type { Random } from './random.ts';

/** The line of a simulated instrument, with everything that can go wrong on it. */
export interface FaultyLine {
  /** Sends one line of the instrument, as far as the present faults let it. */
  sendLine(text: string): void;
  /** Remembers a line that may be sent again by `stale peaks` and `repeated peak`. */
  rememberPeak(text: string): void;
  begin(fault: Fault): void;
  /** The unit text of a `wrong unit` fault, while it lasts. */
  readonly unitText: string | undefined;
  unplug(): void;
  replug(): void;
  stop(): void;
}

/** Pause between two pieces of a flood, in milliseconds. */
const floodPause = 2;

export function createFaultyLine(line: InstrumentLine, random: Random, clock: Clock): FaultyLine {
  const peaks: string[] = [];
  const timers = new Set<NodeJS.Timeout>();
  let lose = 0;
  let unitText: string | undefined;
  let silent = false;
  let repeatAfterReconnect = false;
  /** While an endless line runs, the instrument's own lines wait: they would end it. */
  let endless = false;

  function after(milliseconds: number, action: () => void): void {
    const timer = setTimeout(() => {
      timers.delete(timer);
      action();
    }, milliseconds);
    timers.add(timer);
  }

  function send(bytes: Uint8Array): void {
    const dropped = Math.min(lose, bytes.length);
    lose -= dropped;
    if (dropped < bytes.length) line.send(bytes.subarray(dropped));
  }

  /** Sends pieces at a pace until all is sent or the cable is out. */
  function pour(
    bytes: number,
    bytesPerSecond: number,
    piece: (size: number) => Uint8Array,
    done: () => void,
  ) {
    let left = bytes;
    const size = Math.max(1, Math.round((bytesPerSecond * floodPause) / 1000));
    const startedAt = clock.nowMilliseconds();
    const step = () => {
      let due = ((clock.nowMilliseconds() - startedAt) * bytesPerSecond) / 1000 - (bytes - left);
      // What the line does not take now is offered again: the far end holds the sender back.
      while (due > 0 && left > 0 && line.plugged) {
        const sent = line.send(piece(Math.min(size, left)));
        if (sent === 0) break;
        left -= sent;
        due -= sent;
      }
      if (left > 0 && line.plugged) after(floodPause, step);
      else done();
    };
    step();
  }

  function replug(): void {
    if (line.plugged) return;
    line.replug();
    const last = peaks.at(-1);
    if (!repeatAfterReconnect || last === undefined) return;
    repeatAfterReconnect = false;
    // Long enough for the station to have opened the port again.
    after(900, () => send(Buffer.from(last, 'latin1')));
  }

  return {
    sendLine(text) {
      if (!silent && !endless) send(Buffer.from(text, 'latin1'));
    },
    rememberPeak(text) {
      peaks.push(text);
      if (peaks.length > 100) peaks.shift();
    },
    begin(fault) {
      switch (fault.kind) {
        case 'noise':
          send(Uint8Array.from({ length: fault.bytes }, () => Math.floor(random.next() * 256)));
          return;
        case 'lost bytes':
          lose += fault.bytes;
          return;
        case 'wrong unit':
          unitText = fault.unitText;
          after(fault.forMilliseconds, () => {
            unitText = undefined;
          });
          return;
        case 'unplug':
          line.unplug();
          after(fault.forMilliseconds, replug);
          return;
        case 'stale peaks':
          for (const peak of peaks.slice(-fault.count)) send(Buffer.from(peak, 'latin1'));
          return;
        case 'repeated peak':
          repeatAfterReconnect = true;
          return;
        case 'flood': {
          const text = Buffer.from('XX,flood without meaning\r\n', 'latin1');
          const bytes = Math.round((fault.bytesPerSecond * fault.forMilliseconds) / 1000);
          pour(
            bytes,
            fault.bytesPerSecond,
            (size) => Buffer.alloc(Math.max(size, text.length), text),
            () => undefined,
          );
          return;
        }
        case 'endless line':
          endless = true;
          pour(
            fault.bytes,
            fault.bytesPerSecond,
            (size) => Buffer.alloc(size, '0'),
            () => {
              endless = false;
              send(Buffer.from('\r\n', 'latin1'));
            },
          );
          return;
        case 'silence':
          silent = true;
          after(fault.forMilliseconds, () => {
            silent = false;
          });
          return;
      }
    },
    get unitText() {
      return unitText;
    },
    unplug: () => line.unplug(),
    replug,
    stop() {
      for (const timer of timers) clearTimeout(timer);
      timers.clear();
    },
  };
}
