import type { Result } from '../shared/result.ts';
import type { CompiledRequests, Exchange } from './compiled-request.ts';
import type { Clock } from './port/clock.ts';
import { closedPoll, followPoll, type PollEvent, wishOf } from './request-poll.ts';

export interface RequestDialogueOptions {
  readonly requests: CompiledRequests;
  readonly clock: Clock;
  readonly write: (bytes: Uint8Array) => Result<void>;
  /** Bytes that turned out to be no answer, when a step's time is over. */
  readonly onLateBytes: (bytes: Uint8Array) => void;
  readonly onEnd: (exchange: Exchange, how: 'replied' | 'timeout' | 'not sent') => void;
}

/** Carries out the dialogue of `request-poll.ts` on a port: sends, and keeps the time. */
export interface RequestDialogue {
  /** Follows an event; returns the bytes of it that are for the decoder. */
  follow(event: PollEvent): Uint8Array;
  stop(): void;
}

export function createRequestDialogue(options: RequestDialogueOptions): RequestDialogue {
  const { requests, clock, write } = options;
  let state = closedPoll;
  let timer: NodeJS.Timeout | undefined;

  function follow(event: PollEvent): Uint8Array {
    const forDecoder: Uint8Array[] = [];
    for (let next: PollEvent | undefined = event; next !== undefined; ) {
      const now = clock.nowMilliseconds();
      const step = followPoll(requests, state, next, now);
      state = step.state;
      if (step.forDecoder.length > 0) forDecoder.push(step.forDecoder);
      if (step.ended !== null) options.onEnd(step.ended.exchange, step.ended.how);
      const wish = wishOf(requests, state, now);
      clearTimeout(timer);
      next = undefined;
      if (wish.kind === 'send') next = { kind: write(wish.bytes).ok ? 'sent' : 'not sent' };
      else if (wish.kind === 'wait') timer = setTimeout(tick, Math.max(1, wish.untilMilliseconds - now));
    }
    const [only, ...others] = forDecoder;
    if (only !== undefined && others.length === 0) return only;
    return Buffer.concat(forDecoder);
  }

  function tick(): void {
    const bytes = follow({ kind: 'time' });
    if (bytes.length > 0) options.onLateBytes(bytes);
  }

  return {
    follow,
    stop() {
      clearTimeout(timer);
      state = closedPoll;
    },
  };
}
