import { storeFaultOf } from '../store/store-fault.ts';
import type { LocalChain, PieceLimits } from './local-chain.ts';
import { type SiteFault, siteFaultOf } from './site-fault.ts';
import type { PushAnswer, SitePosition, SiteSession } from './site-session.ts';

/** How it stands with the way to the site. */
export type OutboxStatus =
  | { readonly state: 'connecting' }
  /** Tried again by itself. */
  | {
      readonly state: 'unreachable';
      readonly code: string;
      readonly message: string;
      readonly acknowledged: number | null;
    }
  | { readonly state: 'pushing'; readonly acknowledged: number; readonly end: number }
  | { readonly state: 'up_to_date'; readonly acknowledged: number }
  /** Pushes nothing until a person has decided. */
  | {
      readonly state: 'stopped';
      readonly reason: string;
      readonly detail: string;
      readonly stationId: string;
      /** The last sealed event that station and site both have; null where that is not the question. */
      readonly commonUpTo: number | null;
      readonly acknowledged: number | null;
    };

export interface OutboxParts {
  readonly chain: LocalChain;
  connect(): Promise<SiteSession>;
  /** Called at every change, and with every acknowledged piece. */
  tell(status: OutboxStatus): void;
  /** Resolves after the time, or early when `signal` aborts. */
  pause(milliseconds: number, signal: AbortSignal): Promise<void>;
  /** The same, and early when the station has committed since it was called last. Left out: it is not known when. */
  readonly untilCommit?: (milliseconds: number, signal: AbortSignal) => Promise<void>;
  /** How often the database is asked whether anything was written, whoever wrote it. Default: every second. */
  readonly lookEveryMilliseconds?: number;
  /** Something to do with the session now and then, while all is well: fetching what the site has published. */
  readonly besides?: (session: SiteSession) => Promise<void>;
  readonly limits?: PieceLimits;
  /** How often a stopped outbox asks whether a person has decided. Left out: 15 s. */
  readonly askEveryMilliseconds?: number;
}

/** Small enough that a cut connection costs little, large enough that the way there and back does not count. */
const usualLimits: PieceLimits = { events: 500, bytes: 1024 * 1024 };
/** Pauses between attempts to connect, in milliseconds; the last one repeats. */
const pauses = [500, 1000, 2000, 5000, 10_000, 30_000] as const;
const usualLookMilliseconds = 1000;
const usualAskMilliseconds = 15_000;
const besidesEveryMilliseconds = 10_000;

/**
 * Pushes the station's chain to the site, piece by piece: the next one is read when the site has the one before.
 * Where it stands is asked of the site at every connection, so that nothing here can be lost or disagree.
 *
 * @param signal ends it
 * @param untilUpToDate true: ends also when the site has everything, or when a person has to decide
 * @returns the last status
 */
export async function runOutbox(
  parts: OutboxParts,
  signal: AbortSignal,
  untilUpToDate = false,
): Promise<OutboxStatus> {
  let status: OutboxStatus = { state: 'connecting' };
  let acknowledged: number | null = null;
  let attempt = 0;
  const tell = (next: OutboxStatus) => {
    status = next;
    if ('acknowledged' in next && next.acknowledged !== null) {
      if (next.acknowledged !== acknowledged) attempt = 0;
      acknowledged = next.acknowledged;
    }
    parts.tell(next);
  };
  tell(status);
  while (!signal.aborted) {
    let session: SiteSession | undefined;
    try {
      session = await parts.connect();
      await new Conversation(parts, session, tell, signal, untilUpToDate).run();
      if (untilUpToDate) break;
    } catch (error) {
      const fault = siteFaultOf(error) ?? storeFaultOf(error);
      if (fault === undefined) throw error;
      if (signal.aborted) break;
      tell({ state: 'unreachable', code: (fault as SiteFault).code, message: fault.message, acknowledged });
      if (untilUpToDate && attempt >= 3) break;
      await parts.pause(pauses[Math.min(attempt, pauses.length - 1)] ?? 30_000, signal);
      attempt += 1;
    } finally {
      await session?.close();
    }
  }
  return status;
}

/** One connection: from asking where the site stands until it breaks. */
class Conversation {
  readonly #parts: OutboxParts;
  readonly #session: SiteSession;
  readonly #tell: (status: OutboxStatus) => void;
  readonly #signal: AbortSignal;
  readonly #untilUpToDate: boolean;

  constructor(
    parts: OutboxParts,
    session: SiteSession,
    tell: (status: OutboxStatus) => void,
    signal: AbortSignal,
    untilUpToDate: boolean,
  ) {
    this.#parts = parts;
    this.#session = session;
    this.#tell = tell;
    this.#signal = signal;
    this.#untilUpToDate = untilUpToDate;
  }

  async run(): Promise<void> {
    const { chain, pause, askEveryMilliseconds = usualAskMilliseconds } = this.#parts;
    while (!this.#signal.aborted) {
      const stationId = chain.stationId();
      if (stationId === undefined) {
        if (this.#untilUpToDate) return;
        await this.#untilWritten();
        continue;
      }
      const position = await this.#session.position(stationId);
      const stopped = await this.#push(stationId, position);
      if (!stopped || this.#untilUpToDate) return;
      // A person has to decide; this only asks whether that has happened.
      await pause(askEveryMilliseconds, this.#signal);
    }
  }

  /** Pushes until the end of the conversation; true where a person has to decide. */
  async #push(stationId: string, position: SitePosition): Promise<boolean> {
    const { chain } = this.#parts;
    const stop = (reason: string, detail: string, commonUpTo: number | null): true => {
      const acknowledged = position.state === 'known' ? position.sequence : null;
      this.#tell({ state: 'stopped', reason, detail, stationId, commonUpTo, acknowledged });
      return true;
    };
    if (position.state === 'known' && !this.#agrees(position)) {
      const common = await this.#commonEnd(stationId, Math.min(position.sequence, chain.end()));
      const piece = chain.pieceAfter(common, this.#parts.limits ?? usualLimits);
      if (piece === undefined) {
        const detail = `the site has events up to ${position.sequence}, the station up to ${chain.end()}: an older backup was restored here`;
        return stop('fork', detail, common);
      }
      // So that the site refuses it by its own rules, and keeps that it did.
      const answer = await this.#session.push(stationId, piece);
      return answer.accepted ? false : stop(answer.reason, answer.detail, common);
    }
    if (position.state === 'settled' && position.sequence > 0 && !this.#agrees(position)) {
      const detail = `the decision names event ${position.sequence}, which station and site do not both have`;
      return stop('fork', detail, await this.#commonEnd(stationId, Math.min(position.sequence, chain.end())));
    }
    const refused = await this.#pushFrom(stationId, position.sequence);
    if (refused === undefined) return false;
    return stop(refused.reason, refused.detail, refused.reason === 'another_chain' ? 0 : null);
  }

  /** Piece by piece, each when the one before is acknowledged, until the connection ends or the site refuses. */
  async #pushFrom(
    stationId: string,
    from: number,
  ): Promise<Extract<PushAnswer, { accepted: false }> | undefined> {
    const { chain, limits = usualLimits, besides } = this.#parts;
    let after = from;
    let besidesAt = Number.NEGATIVE_INFINITY;
    let isUpToDate = false;
    while (!this.#signal.aborted) {
      const piece = isUpToDate && !chain.hasChanged() ? undefined : chain.pieceAfter(after, limits);
      if (piece !== undefined) {
        if (isUpToDate || after === from)
          this.#tell({ state: 'pushing', acknowledged: after, end: chain.end() });
        isUpToDate = false;
        const answer = await this.#session.push(stationId, piece);
        if (!answer.accepted) return answer;
        after = answer.sequence;
        this.#tell({ state: 'pushing', acknowledged: after, end: chain.end() });
        continue;
      }
      if (!isUpToDate) {
        // Before the look that finds nothing: what is written from now on is seen as a change.
        isUpToDate = true;
        chain.hasChanged();
        if (chain.end() > after) {
          isUpToDate = false;
          continue;
        }
        this.#tell({ state: 'up_to_date', acknowledged: after });
      }
      if (besides !== undefined && performance.now() - besidesAt > besidesEveryMilliseconds) {
        await besides(this.#session);
        besidesAt = performance.now();
      }
      if (this.#untilUpToDate) return undefined;
      await this.#untilWritten();
    }
    return undefined;
  }

  /** Until something may have been written. */
  async #untilWritten(): Promise<void> {
    const { pause, untilCommit = pause, lookEveryMilliseconds = usualLookMilliseconds } = this.#parts;
    await untilCommit(lookEveryMilliseconds, this.#signal);
  }

  #agrees({ sequence, hash }: SitePosition): boolean {
    return sequence === 0 || this.#parts.chain.hashAt(sequence) === hash;
  }

  /** The last sealed event that both have: found by halving. */
  async #commonEnd(stationId: string, upTo: number): Promise<number> {
    const { chain } = this.#parts;
    let same = 0;
    let different = upTo + 1;
    while (different - same > 1) {
      const middle = same + Math.floor((different - same) / 2);
      if ((await this.#session.hashAt(stationId, middle)) === chain.hashAt(middle)) same = middle;
      else different = middle;
    }
    return chain.sealedBefore(same);
  }
}
