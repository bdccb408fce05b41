import { ok, type Result, refuse } from '../../shared/result.ts';
import { pauseBeforeRetry } from './back-off.ts';
import type { BytePort, LossReason, OpenFailure, PortKind, PortState } from './byte-port.ts';
import { type Arrival, type Clock, readArrival } from './clock.ts';
import { createListenerSet } from './listener-set.ts';
import { type PathClaim, type PathClaims, processPathClaims } from './path-claims.ts';
import type { OpenLink, PortLink } from './port-link.ts';

export interface ReconnectingPortOptions {
  readonly kind: PortKind;
  readonly path: string;
  readonly openLink: (claim: PathClaim) => OpenLink;
  readonly clock: Clock;
  /** Default: the register of this process. */
  readonly claims?: PathClaims;
}

/**
 * A port which opens a fresh link again and again until it is closed. All kinds of port are this one with another
 * way to open a link.
 */
export function createReconnectingPort(options: ReconnectingPortOptions): BytePort {
  const { clock, kind, path } = options;
  const claims = options.claims ?? processPathClaims;
  const byteListeners = createListenerSet<[Uint8Array, Arrival]>();
  const stateListeners = createListenerSet<[PortState]>();

  let state: PortState = { kind: 'closed' };
  let claim: PathClaim | undefined;
  let link: PortLink | undefined;
  let timer: NodeJS.Timeout | undefined;
  let attempt = 0;
  /** Grows with each opening and closing, so that what an old link still says is not heard. */
  let generation = 0;
  let settled: Promise<void> = Promise.resolve();

  /** Takes the next state and tells it, unless only the time of the next try has moved. */
  function enter(next: PortState): void {
    const before = state;
    state = next;
    const same = 'message' in before && 'message' in next && before.message === next.message;
    if (before.kind !== next.kind || !same) stateListeners.tell(next);
  }

  function scheduleRetry(failure: OpenFailure): void {
    // A cable that was pulled stays "lost since ..." while its path is away.
    const stillLost = state.kind === 'lost' && failure.kind === 'missing';
    attempt = stillLost || state.kind === failure.kind ? attempt + 1 : 0;
    const pause = pauseBeforeRetry(failure.kind, attempt);
    const nextTryAtMilliseconds = clock.nowMilliseconds() + pause;
    timer = setTimeout(tryOpen, pause);
    if (state.kind === 'lost' && stillLost) {
      enter({ ...state, nextTryAtMilliseconds });
    } else {
      const since = state.kind === failure.kind ? state.since : readArrival(clock);
      enter({ ...failure, since, nextTryAtMilliseconds });
    }
  }

  function tryOpen(): void {
    clearTimeout(timer);
    timer = undefined;
    const mine = generation;
    settled = settled.then(() => attemptToOpen(mine));
  }

  async function attemptToOpen(mine: number): Promise<void> {
    if (mine !== generation || claim === undefined) return;
    const outcome = await options.openLink(claim)({
      onBytes(chunk) {
        if (mine === generation && state.kind === 'open') byteListeners.tell(chunk, readArrival(clock));
      },
      onLost(reason, message) {
        if (mine === generation) lose(reason, message);
      },
      onEnded() {
        if (mine === generation) void close();
      },
    });
    if (mine !== generation) {
      if (outcome.ok) await outcome.link.close();
      return;
    }
    if (!outcome.ok) {
      scheduleRetry(outcome.failure);
      return;
    }
    link = outcome.link;
    enter({ kind: 'open', since: readArrival(clock) });
    // A listener may have closed the port in the meantime.
    if (mine === generation) link.start();
  }

  /** Lets go of the link and of everything that it may still say. */
  function dropLink(): void {
    generation += 1;
    clearTimeout(timer);
    timer = undefined;
    const gone = link;
    link = undefined;
    settled = settled.then(() => gone?.close());
  }

  function lose(reason: LossReason, message: string): void {
    dropLink();
    claim?.setTarget(undefined);
    attempt = 0;
    const pause = pauseBeforeRetry('lost', 0);
    timer = setTimeout(tryOpen, pause);
    const nextTryAtMilliseconds = clock.nowMilliseconds() + pause;
    enter({ kind: 'lost', reason, message, since: readArrival(clock), nextTryAtMilliseconds });
  }

  async function close(): Promise<void> {
    dropLink();
    const held = claim;
    claim = undefined;
    if (state.kind !== 'closed') enter({ kind: 'closed' });
    await settled;
    held?.release();
  }

  return {
    kind,
    path,
    get state() {
      return state;
    },
    open() {
      if (claim !== undefined) return refuse('port_open', 'path', `${path} is open already.`);
      const claimed = claims.claim(path);
      if (!claimed.ok) return claimed;
      claim = claimed.value;
      attempt = 0;
      enter({ kind: 'opening', since: readArrival(clock) });
      tryOpen();
      return ok(undefined);
    },
    onBytes: (listener) => byteListeners.add(listener),
    onState: (listener) => stateListeners.add(listener),
    write(bytes): Result<void> {
      if (state.kind !== 'open' || link === undefined) {
        return refuse('port_not_open', 'path', `${path} is not open; nothing was sent.`);
      }
      return link.write(bytes);
    },
    tryNow() {
      if (timer !== undefined) tryOpen();
    },
    close,
  };
}
