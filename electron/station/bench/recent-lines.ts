import type { InstrumentLineView } from '../../../shared/teach-view.ts';

const mostLines = 20;
const longestLine = 200;
const lineFeed = 0x0a;
const carriageReturn = 0x0d;
const endOfText = 0x03;

/**
 * The last bytes of a port for people to look at, cut behind what usually ends lines. It judges nothing: the decoder
 * cuts by its profile.
 */
export class RecentLines {
  readonly #lines: InstrumentLineView[] = [];
  #open: number[] = [];

  /** Takes bytes as they came, with the wall time of their coming. */
  take(chunk: Uint8Array, at: string): void {
    for (const byte of chunk) {
      const last = this.#open.at(-1);
      // A carriage return ends a line unless a line feed follows; the feed is looked for one byte later.
      if (last === carriageReturn && byte !== lineFeed) this.#cut(at);
      this.#open.push(byte);
      if (byte === lineFeed || byte === endOfText || this.#open.length >= longestLine) this.#cut(at);
    }
  }

  /** Oldest first. What has not ended yet is left out. */
  lines(): readonly InstrumentLineView[] {
    return [...this.#lines];
  }

  #cut(at: string): void {
    this.#lines.push({ at, base64: Buffer.from(this.#open).toString('base64') });
    this.#open = [];
    if (this.#lines.length > mostLines) this.#lines.shift();
  }
}
