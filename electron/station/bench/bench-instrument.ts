import type { EvidenceLine } from '../../../drivers/evidence-buffer.ts';
import type { LiveEvent, LiveIndication, LivePull } from '../../../drivers/live-event.ts';
import type { LiveInstrument } from '../../../drivers/live-instrument.ts';
import type { InstrumentProfile } from '../../../drivers/profile.ts';
import type { RawLine } from '../../../shared/job/capture.ts';
import type { InstrumentSource, Simulator } from './instrument-source.ts';
import { RecentLines } from './recent-lines.ts';
import { Trace } from './trace.ts';

/** A complete pull with its evidence. */
export type TakenPull = Extract<LivePull, { readonly phase: 'complete' }>;

/** What an instrument has just said. */
export interface BenchReading {
  readonly instrumentId: string;
  readonly live: LiveIndication;
  /** The pull under way: its greatest indication so far. */
  readonly pulling: LiveIndication | null;
}

const mostPullsKept = 50;

/** One instrument of the bench: what it says now, its trace, its pulls. */
export class BenchInstrument {
  readonly instrumentId: string;
  readonly profile: InstrumentProfile;
  readonly profileHash: string;
  readonly live: LiveInstrument;
  readonly simulator: Simulator | null;
  readonly ownsSimulator: boolean;
  readonly trace = new Trace();
  /** What came last, believed or not, for people to look at. */
  readonly recent = new RecentLines();
  #pulls: readonly TakenPull[] = [];
  #pulling: LiveIndication | null = null;
  #last: LiveIndication | null = null;

  constructor(instrumentId: string, source: InstrumentSource, profileHash: string) {
    this.instrumentId = instrumentId;
    this.live = source.live;
    this.profile = source.live.profile;
    this.profileHash = profileHash;
    this.simulator = source.simulator;
    this.ownsSimulator = source.ownsSimulator;
    this.live.port.onBytes((chunk, { arrivedAt }) => this.recent.take(chunk, arrivedAt));
  }

  /** Takes what the instrument said; returns the reading to show, if it changes one. */
  take(event: LiveEvent): BenchReading | null {
    switch (event.kind) {
      case 'indication': {
        const { indication, arrivedAtMilliseconds, arrivedAt } = event;
        this.trace.add({ atMilliseconds: arrivedAtMilliseconds, atWall: arrivedAt, value: indication.value });
        this.#last = event;
        return this.#reading(event);
      }
      case 'pull':
        this.#pulling = event.phase === 'pulling' ? event.greatest : null;
        if (event.phase === 'complete') this.#pulls = [...this.#pulls, event].slice(-mostPullsKept);
        return this.#last && this.#reading(this.#last);
      default:
        return null;
    }
  }

  /** The reading that is current now; null where the instrument was not heard yet, or is not heard any more. */
  newest(): BenchReading | null {
    const { port, condition } = this.live.health();
    return this.#last === null || port.kind !== 'open' || condition === 'silent'
      ? null
      : this.#reading(this.#last);
  }

  /** Complete pulls that began after a time, oldest first. */
  pullsSince(atMilliseconds: number): readonly TakenPull[] {
    return this.#pulls.filter(({ pull }) => pull.startedAtMilliseconds >= atMilliseconds);
  }

  /** The raw lines behind an indication, with their arrival since the first; `back` milliseconds before it come along. */
  evidence(until: LiveIndication, backMilliseconds: number): RawLine[] {
    return rawLines(this.live.evidenceFor({ until, backMilliseconds }));
  }

  #reading(live: LiveIndication): BenchReading {
    return { instrumentId: this.instrumentId, live, pulling: this.#pulling };
  }
}

/** Raw lines as a capture keeps them: base64, with milliseconds since the first. */
export function rawLines(lines: readonly EvidenceLine[]): RawLine[] {
  const start = lines[0]?.arrivedAtMilliseconds ?? 0;
  return lines.map(({ arrivedAtMilliseconds, bytes }) => ({
    // To the microsecond: the steadiness rule is replayed with these times.
    atMilliseconds: Math.max(0, Math.round((arrivedAtMilliseconds - start) * 1000) / 1000),
    base64: Buffer.from(bytes).toString('base64'),
  }));
}
