import type { VerifyProgress } from '../../../../shared/contract.ts';
import { ok, type Result, refuse } from '../../../../shared/result.ts';
import { threadsBesideWork } from '../../audit/background-thread.ts';
import { tellVerify } from '../../screen-verify.ts';
import { storeFaultOf } from '../../store/store-fault.ts';
import { siteFaultOf } from '../site-fault.ts';
import { readChains } from '../site-rows.ts';
import { verifyAtSite } from '../site-verify.ts';
import type { SiteLine } from './site-line.ts';

type Tell = (progress: VerifyProgress) => void;

/** Checks one chain of the site at a time, from the site store alone. */
export class SiteVerifyDesk {
  readonly #line: Pick<SiteLine, 'alone'>;
  readonly #onBug: (error: unknown) => void;
  #running:
    | { readonly chainId: number; readonly stop: AbortController; readonly told: Set<Tell> }
    | undefined;

  constructor(line: Pick<SiteLine, 'alone'>, onBug: (error: unknown) => void) {
    this.#line = line;
    this.#onBug = onBug;
  }

  /** Starts a check; of the same chain again, a page that was loaded anew finds the one that runs. */
  start(chainId: number | undefined, tell: Tell): Result<null> {
    if (chainId === undefined)
      return refuse('chain_missing', 'chainId', 'Choose whose chain is to be verified.');
    const running = this.#running;
    if (running !== undefined) {
      if (running.chainId !== chainId || running.stop.signal.aborted)
        return refuse('verify_running', '', 'A check is running already; wait for it.');
      running.told.add(tell);
      return ok(null);
    }
    const begun = { chainId, stop: new AbortController(), told: new Set([tell]) };
    this.#running = begun;
    let latest: VerifyProgress = {
      ...{ done: 0, total: 0, finished: false, stopped: false, intact: null, problems: [] },
      site: { chainId, fetching: true },
    };
    const tellAll: Tell = (progress) => {
      latest = progress;
      // What is left is tidying up: the next check need not wait for it.
      if ((progress.finished || progress.stopped) && this.#running === begun) this.#running = undefined;
      for (const one of begun.told) one(progress);
    };
    tellAll(latest);
    this.#verify(chainId, begun.stop.signal, tellAll)
      .catch((error: unknown) => {
        const fault = siteFaultOf(error) ?? storeFaultOf(error);
        if (fault === undefined) this.#onBug(error);
        const failed = fault ?? { code: 'bug', message: 'the program made a mistake; it is in the log' };
        tellAll({ ...latest, stopped: true, failed: { code: failed.code, message: failed.message } });
      })
      .finally(() => {
        if (this.#running === begun) this.#running = undefined;
      });
    return ok(null);
  }

  stop(): Result<null> {
    if (this.#running === undefined)
      return refuse('no_verify', '', 'No check of yours is running; start one.');
    this.#running.stop.abort();
    return ok(null);
  }

  async #verify(chainId: number, signal: AbortSignal, tell: Tell): Promise<void> {
    await this.#line.alone(async (client) => {
      const all = await readChains(client, null);
      const branch = all.find(({ chain_id }) => chain_id === chainId);
      if (branch === undefined) throw new Error(`the site has no chain ${chainId}`);
      const chains = all.filter(({ station_id }) => station_id === branch.station_id);
      const fetching = { ...{ finished: false, stopped: false, intact: null, problems: [] } };
      await tellVerify(
        (run) =>
          verifyAtSite(client, {
            ...{ chains, branch, trustedKeys: [], threads: threadsBesideWork(), signal },
            ...run,
            onFetched: (counts) => tell({ ...counts, ...fetching, site: { chainId, fetching: true } }),
          }),
        (progress) => tell({ ...progress, site: { chainId, fetching: false } }),
      );
    });
  }
}
