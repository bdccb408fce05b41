/** How an on-demand instrument is asked, in the words of a profile. */
export interface RequestWords {
  /** What is sent, in order. All but the last step wait for their answer; the reply follows the last one. */
  readonly steps: readonly RequestStep[];
  readonly replyTimeoutMilliseconds: number;
  /** Time from one request to the next; 0 for an instrument that is asked only when a person wishes. */
  readonly pollMilliseconds: number;
  /** Least time between the end of one exchange and the next request. */
  readonly gapMilliseconds: number;
}

export interface RequestStep {
  readonly send: Uint8Array;
  /** Bytes that must come before the next step. */
  readonly expect?: Uint8Array;
}

/** What the poll wants done now. */
export type PollWish =
  | { readonly kind: 'send'; readonly bytes: Uint8Array }
  | { readonly kind: 'wait'; readonly untilMilliseconds: number }
  /** Nothing to do until something comes in or is asked for. */
  | { readonly kind: 'rest' };

/** Where the dialogue stands. Pure data; times are monotonic milliseconds. */
export type PollState =
  | { readonly kind: 'closed' }
  | { readonly kind: 'idle'; readonly dueAtMilliseconds: number | null }
  | {
      readonly kind: 'asking';
      readonly step: number;
      /** False until the bytes of the step have been sent. */
      readonly sent: boolean;
      readonly startedAtMilliseconds: number;
      readonly deadlineMilliseconds: number;
      /** Bytes of the expected answer that have come. */
      readonly matched: number;
    };

export type PollEvent =
  | { readonly kind: 'opened' }
  | { readonly kind: 'lost' }
  /** A person or the station wishes one exchange now. */
  | { readonly kind: 'wish' }
  | { readonly kind: 'sent' }
  /** The port took nothing. */
  | { readonly kind: 'not sent' }
  | { readonly kind: 'bytes'; readonly bytes: Uint8Array }
  /** A whole line or frame came in, a reading or not. */
  | { readonly kind: 'line' }
  | { readonly kind: 'time' };

/** What became of an exchange. */
export type PollOutcome = 'timeout' | 'replied' | null;

/** Follows one event. One request is in flight at most; a lost port ends it without a late answer. */
export function followPoll(
  words: RequestWords,
  state: PollState,
  event: PollEvent,
  nowMilliseconds: number,
): { readonly state: PollState; readonly outcome: PollOutcome } {
  const next = (after: PollState, outcome: PollOutcome = null) => ({ state: after, outcome });
  if (event.kind === 'lost') return next({ kind: 'closed' });
  if (event.kind === 'opened') {
    return next({ kind: 'idle', dueAtMilliseconds: words.pollMilliseconds > 0 ? nowMilliseconds : null });
  }
  switch (state.kind) {
    case 'closed':
      return next(state);
    case 'idle': {
      const due = state.dueAtMilliseconds !== null && nowMilliseconds >= state.dueAtMilliseconds;
      if (event.kind === 'wish' || (event.kind === 'time' && due)) {
        return next(startAsking(words, nowMilliseconds));
      }
      return next(state);
    }
    case 'asking':
      switch (event.kind) {
        case 'sent':
          return next({ ...state, sent: true });
        case 'not sent':
          return next(rest(words, state.startedAtMilliseconds, nowMilliseconds));
        case 'bytes':
          return next(matchAnswer(words, state, event.bytes));
        case 'line':
          // A line before the last step was sent is not the reply: it is left over from before.
          if (!state.sent || state.step < words.steps.length - 1) return next(state);
          return next(rest(words, state.startedAtMilliseconds, nowMilliseconds), 'replied');
        case 'time':
          if (nowMilliseconds < state.deadlineMilliseconds) return next(state);
          return next(rest(words, state.startedAtMilliseconds, nowMilliseconds), 'timeout');
        case 'wish':
          return next(state);
      }
  }
}

/** What has to be done in a state. */
export function wishOf(words: RequestWords, state: PollState): PollWish {
  switch (state.kind) {
    case 'closed':
      return { kind: 'rest' };
    case 'idle':
      return state.dueAtMilliseconds === null
        ? { kind: 'rest' }
        : { kind: 'wait', untilMilliseconds: state.dueAtMilliseconds };
    case 'asking': {
      const step = words.steps[state.step];
      if (!state.sent && step !== undefined) return { kind: 'send', bytes: step.send };
      return { kind: 'wait', untilMilliseconds: state.deadlineMilliseconds };
    }
  }
}

function startAsking(words: RequestWords, nowMilliseconds: number): PollState {
  return {
    kind: 'asking',
    step: 0,
    sent: false,
    startedAtMilliseconds: nowMilliseconds,
    deadlineMilliseconds: nowMilliseconds + words.replyTimeoutMilliseconds,
    matched: 0,
  };
}

function rest(words: RequestWords, startedAtMilliseconds: number, nowMilliseconds: number): PollState {
  if (words.pollMilliseconds <= 0) return { kind: 'idle', dueAtMilliseconds: null };
  const byPace = startedAtMilliseconds + words.pollMilliseconds;
  const byGap = nowMilliseconds + words.gapMilliseconds;
  return { kind: 'idle', dueAtMilliseconds: Math.max(byPace, byGap) };
}

/** Looks for the expected answer of the step in hand; other bytes start the search again. */
function matchAnswer(
  words: RequestWords,
  state: Extract<PollState, { kind: 'asking' }>,
  bytes: Uint8Array,
): PollState {
  const expected = words.steps[state.step]?.expect;
  if (!state.sent || expected === undefined || expected.length === 0) return state;
  let matched = state.matched;
  for (const byte of bytes) {
    if (byte === expected[matched]) matched += 1;
    else matched = byte === expected[0] ? 1 : 0;
    if (matched === expected.length) {
      return { ...state, step: state.step + 1, sent: false, matched: 0 };
    }
  }
  return { ...state, matched };
}
