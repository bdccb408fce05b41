import type { EvidenceLine } from '../../../drivers/evidence-buffer.ts';
import type { LiveEvent, LiveIndication } from '../../../drivers/live-event.ts';
import type { LiveInstrument } from '../../../drivers/live-instrument.ts';
import type { InstrumentProfile } from '../../../drivers/profile.ts';
import { createPullTracker, type Pull, type PullTracker } from '../../../drivers/pull.ts';
import type { RawLine } from '../../../shared/job/capture.ts';
import type { InstrumentSource, Simulator } from './instrument-source.ts';
import { Trace } from './trace.ts';

/** A pull with the indications behind its beginning and its end. */
export interface TakenPull {
  readonly pull: Pull;
  readonly peakIndication: LiveIndication;
  readonly startedAtMilliseconds: number;
  readonly endedAtMilliseconds: number;
  /** Counts pulls since the station started. */
  readonly number: number;
}

/** What an instrument has just said. */
export interface BenchReading {
  readonly instrumentId: string;
  readonly live: LiveIndication;
  /** The pull under way: its highest indication so far. */
  readonly pulling: LiveIndication | null;
}

/** One instrument of the bench: what it says now, its trace, its pulls. */
export class BenchInstrument {
  readonly instrumentId: string;
  readonly profile: InstrumentProfile;
  readonly profileHash: string;
  readonly live: LiveInstrument;
  readonly simulator: Simulator | null;
  readonly trace = new Trace();
  readonly #pullTracker: PullTracker | null;
  #pulls: TakenPull[] = [];
  #pullCount = 0;
  #pulling: { readonly first: LiveIndication; readonly highest: LiveIndication } | null = null;

  constructor(instrumentId: string, source: InstrumentSource, profileHash: string) {
    this.instrumentId = instrumentId;
    this.live = source.live;
    this.profile = source.live.profile;
    this.profileHash = profileHash;
    this.simulator = source.simulator;
    this.#pullTracker = this.profile.kind === 'torque' ? createPullTracker(this.profile) : null;
  }

  /** Takes what the instrument said; returns the reading to show, if there is one. */
  take(event: LiveEvent): BenchReading | null {
    if (event.kind !== 'indication') return null;
    const { indication, arrivedAtMilliseconds, arrivedAt } = event;
    this.trace.add({ atMilliseconds: arrivedAtMilliseconds, atWall: arrivedAt, value: indication.value });
    if (this.#pullTracker !== null) this.#takePull(event, this.#pullTracker);
    return { instrumentId: this.instrumentId, live: event, pulling: this.#pulling?.highest ?? null };
  }

  /** Complete pulls that ended after a time, oldest first. */
  pullsSince(atMilliseconds: number): readonly TakenPull[] {
    return this.#pulls.filter(({ startedAtMilliseconds }) => startedAtMilliseconds >= atMilliseconds);
  }

  /** The raw lines behind an indication, with their arrival since the first; `back` milliseconds before it come along. */
  evidence(until: LiveIndication, backMilliseconds: number): RawLine[] {
    return rawLines(this.live.evidenceFor({ until, backMilliseconds }));
  }

  #takePull(event: LiveIndication, tracker: PullTracker): void {
    const { indication } = event;
    const isLarger =
      this.#pulling === null || Math.abs(indication.value) > Math.abs(this.#pulling.highest.indication.value);
    for (const happened of tracker.push(indication, event.arrivedAtMilliseconds)) {
      if (happened.kind === 'started') this.#pulling = { first: event, highest: event };
      else if (happened.kind === 'completed') {
        this.#pullCount += 1;
        const startedAtMilliseconds = happened.pull.startedAtMilliseconds;
        const peakIndication = event.indication.state === 'peak' ? event : (this.#pulling?.highest ?? event);
        this.#pulls = [
          ...this.#pulls.slice(-49),
          {
            pull: happened.pull,
            peakIndication,
            startedAtMilliseconds,
            endedAtMilliseconds: event.arrivedAtMilliseconds,
            number: this.#pullCount,
          },
        ];
        this.#pulling = null;
      } else this.#pulling = null;
    }
    if (this.#pulling !== null && isLarger) this.#pulling = { ...this.#pulling, highest: event };
  }
}

function rawLines(lines: readonly EvidenceLine[]): RawLine[] {
  const start = lines[0]?.arrivedAtMilliseconds ?? 0;
  return lines.map(({ arrivedAtMilliseconds, bytes }) => ({
    atMilliseconds: Math.max(0, Math.round(arrivedAtMilliseconds - start)),
    base64: Buffer.from(bytes).toString('base64'),
  }));
}
