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

  function checkStamp(key: string, stamp: string): 'new' | 'duplicate' | 'stale_replay' {
    if (key === last) return 'duplicate';
    if (withStamp.has(key) || (newest !== null && stamp < newest)) return 'stale_replay';
    if (stamp !== newest || withStamp.size >= mostWithOneStamp) withStamp = new Set();
    withStamp.add(key);
    newest = stamp;
    last = key;
    return 'new';
  }

  return {
    check(text, seq, stamp) {
      if (stamp !== undefined) return checkStamp(`${seq ?? ''}|${text}|${stamp}`, stamp);
      if (seq === undefined || wrapsAfter === undefined) return 'new';
      if (sequence !== null) {
        const ahead = (((seq - sequence) % wrapsAfter) + wrapsAfter) % wrapsAfter;
        if (ahead === 0) return 'duplicate';
        if (ahead > Math.floor(wrapsAfter / 2)) return 'stale_replay';
      }
      sequence = seq;
      return 'new';
    },
    remembered: () => ({ sequence, last, stamp: newest, withStamp: [...withStamp] }),
  };
}
