/** A source of chance. Handed in with its seed, so that a simulation can be run again. */
export interface Random {
  /** Uniform, 0 ≤ x < 1. */
  next(): number;
}

/** A small generator (mulberry32) for simulations; not for anything that must not be guessed. */
export function createRandom(seed: number): Random {
  let state = seed >>> 0;
  return {
    next() {
      state = (state + 0x6d2b79f5) >>> 0;
      let mixed = state;
      mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
      mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
      return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
    },
  };
}

/** Uniform between two limits. */
export function between(random: Random, lower: number, upper: number): number {
  return lower + (upper - lower) * random.next();
}

/** Normal, mean 0 and standard deviation 1 (Box and Muller, 1958). */
export function gaussian(random: Random): number {
  const radius = Math.sqrt(-2 * Math.log(1 - random.next()));
  return radius * Math.cos(2 * Math.PI * random.next());
}
