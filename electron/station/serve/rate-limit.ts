/** How often something may be done: `burst` at once, then `perSecond`. */
export interface Rate {
  readonly burst: number;
  readonly perSecond: number;
}

/** Keys that are remembered; the one that was quiet longest is forgotten first. */
const mostKeys = 4096;

/** Token buckets, one for each key such as an address. */
export class RateLimit {
  readonly #rate: Rate;
  readonly #now: () => number;
  readonly #buckets = new Map<string, { tokens: number; at: number }>();

  /** @param now milliseconds that only go forward */
  constructor(rate: Rate, now: () => number) {
    this.#rate = rate;
    this.#now = now;
  }

  /** True if it may be done now; takes `cost` then. */
  take(key: string, cost = 1): boolean {
    const { burst, perSecond } = this.#rate;
    const now = this.#now();
    const bucket = this.#buckets.get(key) ?? { tokens: burst, at: now };
    const tokens = Math.min(burst, bucket.tokens + ((now - bucket.at) / 1000) * perSecond);
    const isEnough = tokens >= cost;
    // Put back at the end: the order of the map is that of use.
    this.#buckets.delete(key);
    this.#buckets.set(key, { tokens: isEnough ? tokens - cost : tokens, at: now });
    if (this.#buckets.size > mostKeys) {
      const [quietest] = this.#buckets.keys();
      if (quietest !== undefined) this.#buckets.delete(quietest);
    }
    return isEnough;
  }

  /** Gives back what was taken, for what turned out to be no abuse. */
  giveBack(key: string, cost = 1): void {
    const bucket = this.#buckets.get(key);
    if (bucket !== undefined) bucket.tokens = Math.min(this.#rate.burst, bucket.tokens + cost);
  }
}
