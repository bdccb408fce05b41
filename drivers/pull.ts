import type { Indication } from '../shared/indication.ts';
import { type PullRule, pullRuleSchema } from './profile/settings.ts';
import type { InstrumentProfile } from './profile.ts';

/** One pull of a wrench, from the first reading at or above the start threshold to its end. */
export interface Pull {
  /** The peak that counts; null where it is not known, see `incomplete`. */
  readonly peak: Indication | null;
  /** Why the peak is not known; null for a complete pull. */
  readonly incomplete: 'no final line' | 'stream interrupted' | 'unit changed' | null;
  /** The greatest reading of the stream, after the filter; null where the instrument sent only its peak line. */
  readonly greatest: Indication | null;
  /** Degrees, as the instrument counts them; absent where it tells none. */
  readonly angle?: number;
  readonly startedAtMilliseconds: number;
  readonly endedAtMilliseconds: number;
  /** Rises above the release share in this pull: more than one where double hits are merged or release was brief. */
  readonly hits: number;
  /** It began within the double-hit time after the end of the pull before it. */
  readonly isDoubleHit: boolean;
}

export type PullEvent =
  | { readonly kind: 'started'; readonly startedAtMilliseconds: number }
  | { readonly kind: 'completed'; readonly pull: Pull }
  | { readonly kind: 'incomplete'; readonly pull: Pull };

export interface PullTracker {
  readonly rule: PullRule;
  /** Takes every accepted indication with its arrival, monotonic milliseconds. */
  push(indication: Indication, atMilliseconds: number): PullEvent[];
  /** Says what time it is when nothing comes: a pull whose stream has stopped is ended. */
  tick(atMilliseconds: number): PullEvent[];
  /** The port was lost: the peak of a pull in hand is not known. */
  interrupt(atMilliseconds: number): PullEvent[];
  /** The pull in hand: its greatest reading so far. */
  readonly current: { readonly greatest: Indication; readonly startedAtMilliseconds: number } | null;
}

/** Share of the range's upper limit at which a pull begins where the profile says nothing. Common practice, no source. */
const usualStartShare = 0.02;

interface OpenPull {
  readonly startedAt: number;
  readonly direction: 1 | -1;
  readonly isDoubleHit: boolean;
  greatest: Indication;
  /** Since when the torque is below the release share; null while it is above. */
  belowSince: number | null;
  lastAt: number;
  hits: number;
  /** Let go; only the final line is missing. */
  released: boolean;
}

/**
 * Finds the pulls in the readings of a torque instrument.
 *
 * - A pull begins with the first reading whose size is at least the start threshold of its unit; its sign is the
 *   direction of the pull, and a reading of the other sign counts as let go.
 * - Its peak is the greatest reading (of the running median, where one is set). It ends once the torque has stayed
 *   below `release_share` of the peak for `release_ms`; a shorter dip belongs to the pull (`hits` counts the rises).
 *   With `double_hit: merge` it must stay below for `double_hit_ms`, so that two hits become one pull with the
 *   greater peak; with `keep` they stay two pulls and the second is marked.
 * - A peak line closes the pull, and its value is the peak. A peak line of zero is no pull.
 * - Where the profile has tags for track and peak lines, a pull without its final line has no peak: it is told as
 *   incomplete when the next pull begins or `final_line_ms` have passed.
 * - Without tags, a silence longer than `longest_gap_ms` inside a pull leaves its peak unknown.
 * - Stored readings (memory dumps) are never pulls.
 */
export function createPullTracker(profile: Pick<InstrumentProfile, 'pull' | 'range' | 'tags'>): PullTracker {
  const rule = profile.pull ?? pullRuleSchema.parse({ start: {} });
  const starts = new Map(Object.entries(rule.start));
  const ranges = new Map(Object.entries(profile.range));
  const tagged = new Set(Object.values(profile.tags?.map ?? {}));
  const hasFinalLine = tagged.has('peak') && tagged.has('track');
  const releaseTime =
    rule.double_hit === 'merge' ? Math.max(rule.release_ms, rule.double_hit_ms) : rule.release_ms;
  const longestQuiet = hasFinalLine ? rule.final_line_ms : rule.longest_gap_ms;
  let open: OpenPull | null = null;
  let lastEndedAt = Number.NEGATIVE_INFINITY;
  let recent: Indication[] = [];

  function startsAt({ unit }: Indication): number {
    return starts.get(unit) ?? (ranges.get(unit)?.[1] ?? 0) * usualStartShare;
  }

  function isDoubleHit(atMilliseconds: number): boolean {
    return atMilliseconds - lastEndedAt <= rule.double_hit_ms;
  }

  /** The middle one of the last readings; for an even number the lower of the two. */
  function filter(indication: Indication): Indication {
    if (rule.median_of === 1) return indication;
    recent = [...recent.filter(({ unit }) => unit === indication.unit), indication].slice(-rule.median_of);
    const sorted = [...recent].sort((a, b) => a.value - b.value);
    return sorted[Math.floor((sorted.length - 1) / 2)] ?? indication;
  }

  function close(
    pull: OpenPull,
    peak: Indication | null,
    incomplete: Pull['incomplete'],
    endedAt: number,
  ): PullEvent {
    open = null;
    lastEndedAt = endedAt;
    const angle = angleOf(peak ?? pull.greatest) ?? angleOf(pull.greatest);
    const closed: Pull = {
      peak,
      incomplete,
      greatest: pull.greatest,
      ...(angle === undefined ? {} : { angle }),
      startedAtMilliseconds: pull.startedAt,
      endedAtMilliseconds: endedAt,
      hits: pull.hits,
      isDoubleHit: pull.isDoubleHit,
    };
    return { kind: incomplete === null ? 'completed' : 'incomplete', pull: closed };
  }

  /** Ends a pull whose stream has stopped too long ago. */
  function endIfQuiet(atMilliseconds: number): PullEvent[] {
    if (open === null || atMilliseconds - open.lastAt <= longestQuiet) return [];
    recent = [];
    return [close(open, null, hasFinalLine ? 'no final line' : 'stream interrupted', open.lastAt)];
  }

  function takePeak(indication: Indication, atMilliseconds: number): PullEvent[] {
    if (indication.value === 0) return [];
    recent = [];
    if (open !== null) return [close(open, indication, null, atMilliseconds)];
    const angle = angleOf(indication);
    const pull: Pull = {
      peak: indication,
      incomplete: null,
      greatest: null,
      ...(angle === undefined ? {} : { angle }),
      startedAtMilliseconds: atMilliseconds,
      endedAtMilliseconds: atMilliseconds,
      hits: 1,
      isDoubleHit: isDoubleHit(atMilliseconds),
    };
    lastEndedAt = atMilliseconds;
    return [{ kind: 'completed', pull }];
  }

  function begin(indication: Indication, atMilliseconds: number): PullEvent[] {
    const size = Math.abs(indication.value);
    if (size === 0 || size < startsAt(indication)) return [];
    open = {
      startedAt: atMilliseconds,
      direction: indication.value < 0 ? -1 : 1,
      isDoubleHit: isDoubleHit(atMilliseconds),
      greatest: indication,
      belowSince: null,
      lastAt: atMilliseconds,
      hits: 1,
      released: false,
    };
    return [{ kind: 'started', startedAtMilliseconds: atMilliseconds }];
  }

  function follow(pull: OpenPull, indication: Indication, atMilliseconds: number): PullEvent[] {
    if (indication.unit !== pull.greatest.unit) {
      recent = [indication];
      return [close(pull, null, 'unit changed', atMilliseconds), ...begin(indication, atMilliseconds)];
    }
    const size = indication.value * pull.direction;
    pull.lastAt = atMilliseconds;
    if (size > pull.greatest.value * pull.direction) pull.greatest = indication;
    if (size < rule.release_share * pull.greatest.value * pull.direction) {
      pull.belowSince ??= atMilliseconds;
      if (atMilliseconds - pull.belowSince < releaseTime) return [];
      if (!hasFinalLine) return [close(pull, pull.greatest, null, pull.belowSince)];
      pull.released = true;
      return [];
    }
    if (pull.released) {
      return [
        close(pull, null, 'no final line', pull.belowSince ?? atMilliseconds),
        ...begin(indication, atMilliseconds),
      ];
    }
    if (pull.belowSince !== null) pull.hits += 1;
    pull.belowSince = null;
    return [];
  }

  return {
    rule,
    push(indication, atMilliseconds) {
      const ended = endIfQuiet(atMilliseconds);
      if (indication.state === 'peak') return [...ended, ...takePeak(indication, atMilliseconds)];
      if (indication.state !== 'track') return ended;
      const filtered = filter(indication);
      if (open === null) return [...ended, ...begin(filtered, atMilliseconds)];
      return [...ended, ...follow(open, filtered, atMilliseconds)];
    },
    tick: endIfQuiet,
    interrupt(atMilliseconds) {
      recent = [];
      return open === null ? [] : [close(open, null, 'stream interrupted', atMilliseconds)];
    },
    get current() {
      return open === null ? null : { greatest: open.greatest, startedAtMilliseconds: open.startedAt };
    },
  };
}

function angleOf(indication: Indication): number | undefined {
  const text = indication.columns?.angle;
  return text !== undefined && /^[+-]?\d+(\.\d+)?$/.test(text) ? Number(text) : undefined;
}
