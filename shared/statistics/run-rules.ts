/** A rule looks at readings in standard deviations from the centre, up to and with the one at `index`. */
interface RunRule {
  readonly id: string;
  /** Readings that it looks back over, with the last one. */
  readonly span: number;
  signals(recent: readonly number[]): boolean;
}

const beyond = (id: string, count: number, span: number, limit: number): RunRule => ({
  id,
  span,
  signals: (recent) =>
    [1, -1].some((side) => {
      const outside = (z: number) => z * side > limit;
      // The last reading must take part, or an old signal would be told again.
      return outside(recent.at(-1) ?? 0) && recent.filter(outside).length >= count;
    }),
});

const whole = (id: string, span: number, signals: (recent: readonly number[]) => boolean): RunRule => ({
  id,
  span,
  signals: (recent) => recent.length === span && signals(recent),
});

const steps = (recent: readonly number[]) => recent.slice(1).map((z, index) => z - (recent[index] ?? z));

const onePointBeyond3 = beyond('1 beyond 3 standard deviations', 1, 1, 3);
const twoOfThreeBeyond2 = beyond('2 of 3 beyond 2 standard deviations, same side', 2, 3, 2);
const fourOfFiveBeyond1 = beyond('4 of 5 beyond 1 standard deviation, same side', 4, 5, 1);
const inARow = (count: number) => beyond(`${count} in a row on one side`, count, count, 0);

/** Both sets as published; "beyond" is strict, a reading on a limit does not count. */
export const runRuleSets = {
  /** Eight in a row on one side. */
  'Western Electric': [onePointBeyond3, twoOfThreeBeyond2, fourOfFiveBeyond1, inARow(8)],
  /** Nine in a row on one side, and four more. */
  Nelson: [
    onePointBeyond3,
    inARow(9),
    whole('6 steadily rising or falling', 6, (recent) =>
      [1, -1].some((side) => steps(recent).every((step) => step * side > 0)),
    ),
    whole('14 alternating', 14, (recent) => {
      const moves = steps(recent);
      return moves.every((step, index) => step !== 0 && (index === 0 || step * (moves[index - 1] ?? 0) < 0));
    }),
    twoOfThreeBeyond2,
    fourOfFiveBeyond1,
    whole('15 within 1 standard deviation', 15, (recent) => recent.every((z) => Math.abs(z) < 1)),
    whole(
      '8 with none within 1 standard deviation, both sides',
      8,
      (recent) =>
        recent.every((z) => Math.abs(z) > 1) && recent.some((z) => z > 0) && recent.some((z) => z < 0),
    ),
  ],
} as const satisfies Readonly<Record<string, readonly RunRule[]>>;

export type RunRuleSet = keyof typeof runRuleSets;

export interface RunSignal {
  readonly rule: string;
  /** Index of the reading that completes the pattern, from 0. */
  readonly index: number;
}

/** Every signal of a set of rules, in the order of readings. `scores` are in standard deviations from the centre. */
export function runSignals(scores: readonly number[], set: RunRuleSet): RunSignal[] {
  return scores.flatMap((_, index) =>
    runRuleSets[set]
      .filter((rule) => rule.signals(scores.slice(Math.max(0, index + 1 - rule.span), index + 1)))
      .map((rule) => ({ rule: rule.id, index })),
  );
}
