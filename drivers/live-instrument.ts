import { type RejectionReason, rejectionReasonOf } from '../shared/indication.ts';
import { ok, type Result, refuse } from '../shared/result.ts';
import { compileRequests, type Exchange } from './compiled-request.ts';
import type { RememberedPeaks } from './decode/repeats.ts';
import { createDecoder, type DecoderOptions, type Outcome } from './decode.ts';
import { createEvidenceBuffer, type EvidenceLine } from './evidence-buffer.ts';
import {
  createRateMeter,
  type InstrumentCondition,
  type InstrumentHealth,
  judgeCondition,
} from './instrument-health.ts';
import type { EvidenceWish, LiveEvent, LiveIndication } from './live-event.ts';
import { createLivePulls } from './live-pulls.ts';
import type { BytePort, PortState, Unsubscribe } from './port/byte-port.ts';
import { type Arrival, type Clock, readArrival } from './port/clock.ts';
import { createListenerSet } from './port/listener-set.ts';
import { type InstrumentProfile, measurandOf } from './profile.ts';
import { createRequestDialogue } from './request-dialogue.ts';
import { createSettling } from './settling.ts';
import { silenceLimit } from './silence.ts';

export interface LiveInstrumentOptions {
  readonly port: BytePort;
  readonly profile: InstrumentProfile;
  readonly clock: Clock;
  /** Longest time without an accepted line; null: any. Default: see `silenceLimit`. */
  readonly silenceMilliseconds?: number | null;
  /** Peaks accepted before this program was started, from `remembered()`; they are not accepted again. */
  readonly remembered?: DecoderOptions['remembered'];
}

/** One instrument on one port: bytes become indications, with their evidence and its health. */
export interface LiveInstrument {
  readonly port: BytePort;
  readonly profile: InstrumentProfile;
  /** Opens the port and listens. Refusals are those of the port. */
  start(): Result<void>;
  /** Closes the port. */
  stop(): Promise<void>;
  onEvent(listener: (event: LiveEvent) => void): Unsubscribe;
  health(): InstrumentHealth;
  /** The last indication, only while the instrument is live: never a value from before a loss or a silence. */
  latest(): LiveIndication | undefined;
  /**
   * Carries out a request of the profile as soon as the exchange in hand is over: one reading from an instrument that
   * is asked on wish, or its tare or zero key.
   * Refusals: `no_request` (the profile has none), `port_not_open`.
   */
  ask(exchange: 'reading' | 'tare' | 'zero'): Result<void>;
  /** Peaks that were accepted so far, for the next start of this program. */
  remembered(): RememberedPeaks;
  /** The raw lines behind an indication, from a line boundary on; the last line is its own. */
  evidenceFor(wish: EvidenceWish): readonly EvidenceLine[];
}

/** Health is looked at this often; changes of condition are told at once, counts at the slower pace below. */
const watchMilliseconds = 100;
const healthMilliseconds = 500;
/** Rejections told one by one in each watch period; the rest is only counted. */
const rejectionsPerWatch = 2;

/** Joins a port and a profile. The port is opened by `start`. */
export function createLiveInstrument(options: LiveInstrumentOptions): LiveInstrument {
  const { port, profile, clock } = options;
  const silenceMilliseconds =
    options.silenceMilliseconds === undefined ? silenceLimit(profile) : options.silenceMilliseconds;
  const requests = compileRequests(profile);
  const events = createListenerSet<[LiveEvent]>();
  const decoder = createDecoder(
    profile,
    options.remembered === undefined ? {} : { remembered: options.remembered },
  );
  const evidence = createEvidenceBuffer();
  const rate = createRateMeter();
  const settling = createSettling(profile);
  const pulls =
    measurandOf(profile) === 'torque'
      ? createLivePulls(profile, evidence, (event) => events.tell(event))
      : undefined;
  const rejections: Partial<Record<RejectionReason, number>> = {};
  const dialogue = createRequestDialogue({
    requests,
    clock,
    write: (bytes) => port.write(bytes),
    onLateBytes: (bytes) => decode(bytes, readArrival(clock)),
    onEnd(exchange, how) {
      if (exchange === 'reading' && how === 'timeout') replyTimeouts += 1;
      if (exchange !== 'reading') settling.reset();
      healthIsStale = true;
    },
  });

  let unsubscribe: readonly Unsubscribe[] = [];
  let timer: NodeJS.Timeout | undefined;
  let wasOpen = false;
  let openedAtMilliseconds = 0;
  /** Of this opening. */
  let last: LiveIndication | undefined;
  let lastIndicationAt: Arrival | null = null;
  let lastBytesAt: Arrival | null = null;
  let lastRejection: InstrumentHealth['lastRejection'] = null;
  let replyTimeouts = 0;
  let rejectionsTold = 0;
  let toldCondition: InstrumentCondition = 'disconnected';
  let toldAtMilliseconds = 0;
  let healthIsStale = false;

  function judge(): InstrumentCondition {
    return judgeCondition(
      {
        portIsOpen: port.state.kind === 'open',
        openedAtMilliseconds,
        lastAcceptedAtMilliseconds: last?.arrivedAtMilliseconds ?? null,
        silenceMilliseconds,
      },
      clock.nowMilliseconds(),
    );
  }

  function health(): InstrumentHealth {
    return {
      condition: judge(),
      port: port.state,
      lastIndicationAt,
      lastBytesAt,
      linesPerSecond: rate.perSecond(clock.nowMilliseconds()),
      rejections: { ...rejections },
      lastRejection,
      replyTimeouts,
    };
  }

  function tellHealth(): void {
    toldCondition = judge();
    toldAtMilliseconds = clock.nowMilliseconds();
    healthIsStale = false;
    events.tell({ kind: 'health', health: health() });
  }

  function watch(): void {
    rejectionsTold = 0;
    pulls?.tick(clock.nowMilliseconds());
    const isTime = clock.nowMilliseconds() - toldAtMilliseconds >= healthMilliseconds;
    if (judge() !== toldCondition || (healthIsStale && isTime)) tellHealth();
  }

  function hear(chunk: Uint8Array, arrival: Arrival): void {
    lastBytesAt = arrival;
    healthIsStale = true;
    // The answer to a step of a dialogue is not for the decoder.
    decode(dialogue.follow({ kind: 'bytes', bytes: chunk }), arrival);
  }

  function decode(bytes: Uint8Array, arrival: Arrival): void {
    if (bytes.length === 0) return;
    evidence.take(bytes, arrival);
    takeOutcomes(decoder.push(bytes), arrival);
  }

  function takeOutcomes(outcomes: readonly Outcome[], arrival: Arrival): void {
    for (const outcome of outcomes) {
      if (outcome.kind === 'indication') accept(outcome, arrival);
      else reject(outcome, arrival);
    }
    if (outcomes.length > 0) dialogue.follow({ kind: 'line' });
  }

  function accept(outcome: Extract<Outcome, { kind: 'indication' }>, arrival: Arrival): void {
    const { indication, raw, startOffset, endOffset } = outcome;
    evidence.addLine(indication.offset, endOffset);
    rate.count(arrival.arrivedAtMilliseconds);
    last = {
      kind: 'indication',
      indication,
      settled: settling.isSettled(indication, arrival.arrivedAtMilliseconds),
      bytes: raw,
      startOffset,
      endOffset,
      ...arrival,
    };
    lastIndicationAt = arrival;
    if (toldCondition !== 'live') tellHealth();
    events.tell(last);
    pulls?.take(last);
  }

  function reject(outcome: Extract<Outcome, { kind: 'rejection' }>, arrival: Arrival): void {
    const reason = rejectionReasonOf(outcome.rejection.refused);
    if (reason === 'too_long' || reason === 'cut_by_reconnect') evidence.dropUntilNextLine();
    else if (reason === 'first_partial') evidence.dropUntil(outcome.endOffset);
    else evidence.addLine(outcome.rejection.offset, outcome.endOffset);
    // A battery message says nothing about the load; everything else may hide that it moved.
    if (reason !== 'not_a_reading') settling.reset();
    rejections[reason] = (rejections[reason] ?? 0) + 1;
    lastRejection = { refused: reason, ...arrival };
    if (rejectionsTold >= rejectionsPerWatch) return;
    rejectionsTold += 1;
    events.tell({ kind: 'rejection', rejection: outcome.rejection, ...arrival });
  }

  function followPort(state: PortState): void {
    if (wasOpen && state.kind !== 'open') {
      // At the loss, not at the next opening: what is in hand is told as cut off when it is. No half line survives.
      takeOutcomes(decoder.reconnect(), readArrival(clock));
      pulls?.interrupt(clock.nowMilliseconds());
      settling.reset();
      evidence.dropUntilNextLine();
      last = undefined;
    }
    wasOpen = state.kind === 'open';
    if (state.kind === 'open') {
      openedAtMilliseconds = state.since.arrivedAtMilliseconds;
      dialogue.follow({ kind: 'opened' });
    } else dialogue.follow({ kind: 'lost' });
    tellHealth();
  }

  function ask(exchange: Exchange): Result<void> {
    if (requests[exchange] === undefined) {
      return refuse(
        'no_request',
        'exchange',
        `this instrument has no request for ${exchange}; use its own key`,
      );
    }
    if (port.state.kind !== 'open') {
      return refuse('port_not_open', 'path', `${port.path} is not open; nothing was sent.`);
    }
    dialogue.follow({ kind: 'wish', exchange });
    return ok(undefined);
  }

  function stopListening(): void {
    clearInterval(timer);
    dialogue.stop();
    for (const end of unsubscribe) end();
    unsubscribe = [];
  }

  return {
    port,
    profile,
    start() {
      if (unsubscribe.length > 0) return refuse('port_open', 'path', `${port.path} is open already.`);
      unsubscribe = [port.onBytes(hear), port.onState(followPort)];
      timer = setInterval(watch, watchMilliseconds);
      const opened = port.open();
      if (!opened.ok) stopListening();
      return opened;
    },
    async stop() {
      await port.close();
      stopListening();
    },
    onEvent: (listener) => events.add(listener),
    health,
    latest: () => (judge() === 'live' ? last : undefined),
    ask,
    remembered: () => decoder.remembered(),
    evidenceFor({ until, backMilliseconds }) {
      const own = until.startOffset;
      const since =
        backMilliseconds === undefined
          ? own
          : (evidence.offsetSince(until.arrivedAtMilliseconds - backMilliseconds) ?? own);
      return evidence.linesBetween(Math.min(since, own), until.endOffset);
    },
  };
}
