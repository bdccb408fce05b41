/** What is remembered of accepted peaks, so that old ones are known again. Plain data: it can be kept. */
export interface RememberedPeaks {
  /** Index of the last accepted reading, where the instrument counts without a clock. */
  readonly sequence: number | null;
  /** The last accepted reading as `index|text|stamp`, where it has a clock. */
  readonly last: string | null;
  /** The newest stamp accepted. */
  readonly stamp: string | null;
  /** All readings accepted with that stamp. */
  readonly withStamp: readonly string[];
}

export interface RepeatWatch {
  /** Says whether a reading is new, and remembers it if it is. */
  check(
    text: string,
    seq: number | undefined,
    stamp: string | undefined,
  ): 'new' | 'duplicate' | 'stale_replay';
  remembered(): RememberedPeaks;
}

/** A broken clock that stands still must not fill the memory. */
const mostWithOneStamp = 10_000;

/**
 * Watches for readings that come again. With a stamp: the same index, text and stamp as the last one is a
 * duplicate; one seen before or an older stamp is a stale replay; a newer stamp is new even if the index went back,
 * because counters restart at power-off. Readings older than the newest stamp are stale by their stamp alone, so
 * only those of that stamp are kept. Without a stamp: index equal is a duplicate, behind by less than half the wrap
 * a stale replay.
 */
export function createRepeatWatch(wrapsAfter: number | undefined, before?: RememberedPeaks): RepeatWatch {
  let sequence = before?.sequence ?? null;
  let last = before?.last ?? null;
  let newest = before?.stamp ?? null;
  let withStamp = new Set(before?.withStamp);
  // The reading last accepted, not yet written down as `last` and in `withStamp`: with a newer stamp nobody asks.
  let unwritten: { readonly text: string; readonly seq: number | undefined; readonly stamp: string } | null =
    null;

  function writeDown(): void {
    if (unwritten === null) return;
    last = keyOf(unwritten.text, unwritten.seq, unwritten.stamp);
    withStamp.add(last);
    unwritten = null;
  }

  function checkStamp(
    text: string,
    seq: number | undefined,
    stamp: string,
  ): 'new' | 'duplicate' | 'stale_replay' {
    if (newest !== null && stamp < newest) return 'stale_replay';
    if (stamp === newest) {
      writeDown();
      const key = keyOf(text, seq, stamp);
      if (key === last) return 'duplicate';
      if (withStamp.has(key)) return 'stale_replay';
      if (withStamp.size >= mostWithOneStamp) withStamp = new Set();
    } else if (withStamp.size > 0) withStamp = new Set();
    newest = stamp;
    unwritten = { text, seq, stamp };
    return 'new';
  }

  return {
    check(text, seq, stamp) {
      if (stamp !== undefined) return checkStamp(text, seq, stamp);
      if (seq === undefined || wrapsAfter === undefined) return 'new';
      if (sequence !== null) {
        const ahead = (((seq - sequence) % wrapsAfter) + wrapsAfter) % wrapsAfter;
        if (ahead === 0) return 'duplicate';
        if (ahead > Math.floor(wrapsAfter / 2)) return 'stale_replay';
      }
      sequence = seq;
      return 'new';
    },
    remembered() {
      writeDown();
      return { sequence, last, stamp: newest, withStamp: [...withStamp] };
    },
  };
}

function keyOf(text: string, seq: number | undefined, stamp: string): string {
  return `${seq ?? ''}|${text}|${stamp}`;
}
