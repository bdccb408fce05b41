import type { EvidenceBuffer } from './evidence-buffer.ts';
import type { LiveIndication, LivePull } from './live-event.ts';
import type { InstrumentProfile } from './profile.ts';
import { createPullTracker, type PullEvent } from './pull.ts';

/** Raw lines of this time before a pull are kept with it: a wrench may announce the pull before its first value. */
const leadMilliseconds = 500;
/** Longest filter of a pull rule: its peak is one of this many last indications. */
const longestFilter = 7;

/** Follows the pulls of a wrench and tells them with their evidence. Times are monotonic milliseconds. */
export interface LivePulls {
  take(live: LiveIndication): void;
  tick(nowMilliseconds: number): void;
  interrupt(nowMilliseconds: number): void;
}

export function createLivePulls(
  profile: InstrumentProfile,
  evidence: Pick<EvidenceBuffer, 'linesBetween' | 'offsetSince'>,
  tell: (event: LivePull) => void,
): LivePulls {
  const tracker = createPullTracker(profile);
  let number = 0;
  let recent: readonly LiveIndication[] = [];
  let first: LiveIndication | undefined;
  let greatest: LiveIndication | undefined;

  function tellEnd(event: Exclude<PullEvent, { kind: 'started' }>): void {
    const last = recent.at(-1);
    if (first === undefined) {
      // A wrench that sends only its peak line: the pull is that line.
      number += 1;
      first = last;
    }
    const { pull } = event;
    const peak = pull.peak === null ? undefined : (findLive(pull.peak) ?? greatest);
    const from = first ?? last;
    const lead =
      from === undefined ? undefined : evidence.offsetSince(from.arrivedAtMilliseconds - leadMilliseconds);
    const lines =
      from === undefined || last === undefined
        ? []
        : evidence.linesBetween(Math.min(lead ?? from.startOffset, from.startOffset), last.endOffset);
    tell(
      event.kind === 'completed' && peak !== undefined
        ? { kind: 'pull', phase: 'complete', number, pull, peak, evidence: lines }
        : { kind: 'pull', phase: 'incomplete', number, pull, evidence: lines },
    );
    first = undefined;
    greatest = undefined;
  }

  function findLive(indication: LiveIndication['indication']): LiveIndication | undefined {
    return [...recent, greatest].find((live) => live?.indication === indication);
  }

  function tellEvents(events: readonly PullEvent[]): void {
    for (const event of events) {
      if (event.kind === 'started') {
        number += 1;
        first = recent.at(-1);
      } else tellEnd(event);
    }
  }

  return {
    take(live) {
      const before = recent;
      const wasOpen = tracker.current !== null;
      const events = tracker.push(live.indication, live.arrivedAtMilliseconds);
      // A pull that ended by silence ended before this line.
      const [ended, ...others] = events;
      const endedBefore = wasOpen && ended?.kind === 'incomplete' && others.length > 0;
      if (endedBefore) tellEvents([ended]);
      recent = [...before, live].slice(-longestFilter);
      tellEvents(endedBefore ? others : events);
      const { current } = tracker;
      if (current === null) return;
      greatest = findLive(current.greatest) ?? greatest;
      if (greatest !== undefined) tell({ kind: 'pull', phase: 'pulling', number, greatest });
    },
    tick: (nowMilliseconds) => tellEvents(tracker.tick(nowMilliseconds)),
    interrupt: (nowMilliseconds) => tellEvents(tracker.interrupt(nowMilliseconds)),
  };
}
