import type { RejectionReason } from '../shared/indication.ts';
import type { PortState } from './port/byte-port.ts';
import type { Arrival } from './port/clock.ts';

/**
 * How an instrument is. `silent` and `live` are about accepted lines: an instrument which sends only noise, or only
 * overload, is silent too, and `lastBytesAt` and `rejections` say what it sends instead.
 */
export type InstrumentCondition =
  /** The port is not open; its state says why. */
  | 'disconnected'
  /** Open, nothing accepted yet, and still within the time that the instrument may take. */
  | 'waiting'
  | 'live'
  /** Nothing accepted for longer than its profile allows. The last value is not to be used. */
  | 'silent';

export interface InstrumentHealth {
  readonly condition: InstrumentCondition;
  readonly port: PortState;
  readonly lastIndicationAt: Arrival | null;
  readonly lastBytesAt: Arrival | null;
  /** Accepted lines a second, over the last two seconds. */
  readonly linesPerSecond: number;
  /** Bytes that were not believed, by reason, since the start. */
  readonly rejections: Readonly<Partial<Record<RejectionReason, number>>>;
  readonly lastRejection: (Arrival & { readonly refused: RejectionReason }) | null;
  /** Requests that were not answered in time, since the start. */
  readonly replyTimeouts: number;
}

/** What the condition follows from. Times are monotonic milliseconds. */
export interface ConditionFacts {
  readonly portIsOpen: boolean;
  readonly openedAtMilliseconds: number;
  /** Of this opening; null when nothing was accepted since. */
  readonly lastAcceptedAtMilliseconds: number | null;
  /** Longest time without an accepted line; null for an instrument that speaks only now and then. */
  readonly silenceMilliseconds: number | null;
}

/** Says how an instrument is at a moment. */
export function judgeCondition(facts: ConditionFacts, nowMilliseconds: number): InstrumentCondition {
  if (!facts.portIsOpen) return 'disconnected';
  const last = facts.lastAcceptedAtMilliseconds;
  const quietFor = nowMilliseconds - (last ?? facts.openedAtMilliseconds);
  if (facts.silenceMilliseconds !== null && quietFor > facts.silenceMilliseconds) return 'silent';
  return last === null ? 'waiting' : 'live';
}

/** Counts events of the recent past. */
export interface RateMeter {
  count(nowMilliseconds: number): void;
  perSecond(nowMilliseconds: number): number;
}

/** Counts in quarters of a second over the last two seconds, so that its size does not depend on the rate. */
export function createRateMeter(): RateMeter {
  const slotMilliseconds = 250;
  const slots = new Array<number>(9).fill(0);
  let newest = 0;
  function advance(nowMilliseconds: number): number {
    const slot = Math.floor(nowMilliseconds / slotMilliseconds);
    const first = Math.max(newest + 1, slot - slots.length + 1);
    for (let stale = first; stale <= slot; stale += 1) slots[stale % slots.length] = 0;
    newest = Math.max(newest, slot);
    return newest % slots.length;
  }
  return {
    count(nowMilliseconds) {
      const slot = advance(nowMilliseconds);
      slots[slot] = (slots[slot] ?? 0) + 1;
    },
    perSecond(nowMilliseconds) {
      const current = advance(nowMilliseconds);
      // The slot that is still filling is left out.
      const sum = slots.reduce((total, count, index) => (index === current ? total : total + count), 0);
      return sum / (((slots.length - 1) * slotMilliseconds) / 1000);
    },
  };
}
