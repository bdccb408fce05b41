import type { CompiledRequests, Exchange } from './compiled-request.ts';
import { findAnswer } from './request-answer.ts';

/** Where the dialogue with an instrument stands. Pure data; times are monotonic milliseconds. */
export interface PollState {
  readonly open: boolean;
  /** When the next reading is to be asked for; null when only on wish. */
  readonly dueAtMilliseconds: number | null;
  /** Nothing may be sent before. */
  readonly notBeforeMilliseconds: number;
  /** Wishes of people that wait for the exchange in hand. */
  readonly wished: readonly Exchange[];
  readonly asking: Asking | null;
}

interface Asking {
  readonly exchange: Exchange;
  readonly step: number;
  readonly phase: 'to send' | 'answer' | 'reply';
  /** The bytes of the step are not sent before. */
  readonly sendAtMilliseconds: number;
  readonly startedAtMilliseconds: number;
  readonly deadlineMilliseconds: number;
  /** What has come of the answer so far. */
  readonly held: Uint8Array;
}

export const closedPoll: PollState = {
  open: false,
  dueAtMilliseconds: null,
  notBeforeMilliseconds: 0,
  wished: [],
  asking: null,
};

export type PollEvent =
  | { readonly kind: 'opened' }
  | { readonly kind: 'lost' }
  /** A person or the station wishes one exchange now. */
  | { readonly kind: 'wish'; readonly exchange: Exchange }
  | { readonly kind: 'sent' }
  /** The port took nothing. */
  | { readonly kind: 'not sent' }
  | { readonly kind: 'bytes'; readonly bytes: Uint8Array }
  /** A whole line or frame was decoded, a reading or not. */
  | { readonly kind: 'line' }
  | { readonly kind: 'time' };

export interface PollStep {
  readonly state: PollState;
  /** What became of the exchange in hand, when it ended. */
  readonly ended: { readonly exchange: Exchange; readonly how: 'replied' | 'timeout' | 'not sent' } | null;
  /** Bytes that are no answer to a step, for the decoder. */
  readonly forDecoder: Uint8Array;
}

/** What has to be done in a state: send now, or look again at a time. */
export type PollWish =
  | { readonly kind: 'send'; readonly bytes: Uint8Array }
  | { readonly kind: 'wait'; readonly untilMilliseconds: number }
  | { readonly kind: 'rest' };

const nothing = new Uint8Array(0);

/** Follows one event. One exchange is in flight at most; a lost port ends it without a late answer. */
export function followPoll(
  requests: CompiledRequests,
  state: PollState,
  event: PollEvent,
  nowMilliseconds: number,
): PollStep {
  const bytes = event.kind === 'bytes' ? event.bytes : nothing;
  const unchanged: PollStep = { state, ended: null, forDecoder: bytes };
  switch (event.kind) {
    case 'opened': {
      const polls = (requests.reading?.pollMilliseconds ?? 0) > 0;
      const dueAtMilliseconds = polls ? nowMilliseconds : null;
      const wished: Exchange[] = requests.start === undefined ? [] : ['start'];
      return begin(requests, { ...closedPoll, open: true, dueAtMilliseconds, wished }, nowMilliseconds);
    }
    case 'lost':
      return { state: closedPoll, ended: null, forDecoder: nothing };
    case 'wish': {
      if (!state.open || requests[event.exchange] === undefined || state.wished.includes(event.exchange)) {
        return unchanged;
      }
      return begin(requests, { ...state, wished: [...state.wished, event.exchange] }, nowMilliseconds);
    }
    default:
      return state.asking === null
        ? { ...begin(requests, state, nowMilliseconds), forDecoder: bytes }
        : followExchange(requests, state, state.asking, event, nowMilliseconds);
  }
}

/** What has to be done in a state. */
export function wishOf(requests: CompiledRequests, state: PollState, nowMilliseconds: number): PollWish {
  const { asking } = state;
  if (!state.open) return { kind: 'rest' };
  if (asking !== null) {
    const step = requests[asking.exchange]?.steps[asking.step];
    if (asking.phase === 'to send' && step !== undefined) {
      if (nowMilliseconds >= asking.sendAtMilliseconds) return { kind: 'send', bytes: step.send };
      return { kind: 'wait', untilMilliseconds: asking.sendAtMilliseconds };
    }
    return { kind: 'wait', untilMilliseconds: asking.deadlineMilliseconds };
  }
  if (state.wished.length > 0) return { kind: 'wait', untilMilliseconds: state.notBeforeMilliseconds };
  if (state.dueAtMilliseconds === null) return { kind: 'rest' };
  return { kind: 'wait', untilMilliseconds: Math.max(state.dueAtMilliseconds, state.notBeforeMilliseconds) };
}

/** Begins the next exchange if it is time for one. */
function begin(requests: CompiledRequests, state: PollState, nowMilliseconds: number): PollStep {
  const idle: PollStep = { state, ended: null, forDecoder: nothing };
  if (!state.open || state.asking !== null || nowMilliseconds < state.notBeforeMilliseconds) return idle;
  const [wished, ...others] = state.wished;
  const isDue = state.dueAtMilliseconds !== null && nowMilliseconds >= state.dueAtMilliseconds;
  const exchange = wished ?? (isDue ? 'reading' : undefined);
  if (exchange === undefined) return idle;
  const asking = startStep(requests, exchange, 0, nowMilliseconds, nowMilliseconds);
  return { ...idle, state: { ...state, wished: wished === undefined ? state.wished : others, asking } };
}

function startStep(
  requests: CompiledRequests,
  exchange: Exchange,
  step: number,
  startedAtMilliseconds: number,
  sendAtMilliseconds: number,
): Asking {
  const timeout = requests[exchange]?.steps[step]?.timeoutMilliseconds ?? 0;
  return {
    exchange,
    step,
    phase: 'to send',
    sendAtMilliseconds,
    startedAtMilliseconds,
    deadlineMilliseconds: sendAtMilliseconds + timeout,
    held: nothing,
  };
}

function followExchange(
  requests: CompiledRequests,
  state: PollState,
  asking: Asking,
  event: PollEvent,
  nowMilliseconds: number,
): PollStep {
  const request = requests[asking.exchange];
  const step = request?.steps[asking.step];
  const go = (next: Partial<Asking>): PollStep => ({
    state: { ...state, asking: { ...asking, ...next } },
    ended: null,
    forDecoder: nothing,
  });
  const end = (how: 'replied' | 'timeout' | 'not sent'): PollStep => ({
    state: rest(requests, state, asking, nowMilliseconds),
    ended: { exchange: asking.exchange, how },
    forDecoder: asking.held,
  });
  switch (event.kind) {
    case 'sent':
      return go({ phase: step?.answer === undefined ? 'reply' : 'answer' });
    case 'not sent':
      return end('not sent');
    case 'time':
      return nowMilliseconds < asking.deadlineMilliseconds ? go({}) : end('timeout');
    case 'line':
      // A line that comes before the last step was answered is left over from before: no reply.
      return asking.phase === 'reply' ? end('replied') : go({});
    case 'bytes': {
      if (asking.phase !== 'answer' || step?.answer === undefined)
        return { ...go({}), forDecoder: event.bytes };
      const { found, held, others } = findAnswer(step.answer, asking.held, event.bytes);
      if (found === null) return { ...go({ held }), forDecoder: others };
      const isLast = asking.step + 1 >= (request?.steps.length ?? 0);
      const next = isLast
        ? { ...asking, phase: 'reply' as const, held: nothing }
        : startStep(
            requests,
            asking.exchange,
            asking.step + 1,
            asking.startedAtMilliseconds,
            nowMilliseconds + (request?.gapMilliseconds ?? 0),
          );
      return { ...go(next), forDecoder: Buffer.concat([others, found]) };
    }
    default:
      return go({});
  }
}

function rest(
  requests: CompiledRequests,
  state: PollState,
  asking: Asking,
  nowMilliseconds: number,
): PollState {
  const request = requests[asking.exchange];
  const poll = requests.reading?.pollMilliseconds ?? 0;
  const dueAtMilliseconds =
    asking.exchange === 'reading' && poll > 0 ? asking.startedAtMilliseconds + poll : state.dueAtMilliseconds;
  return {
    ...state,
    asking: null,
    dueAtMilliseconds,
    notBeforeMilliseconds: nowMilliseconds + (request?.gapMilliseconds ?? 0),
  };
}
