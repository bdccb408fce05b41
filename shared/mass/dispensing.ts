/** One live reading while grease is put on. */
export interface DispensingReading {
  readonly atMilliseconds: number;
  readonly grams: number;
}

/** Help while dispensing: never a judgement. */
export interface DispensingForecast {
  /** Slope of the recent readings; 0 where there are too few or they stand still. */
  readonly gramsPerSecond: number;
  /** Seconds until the target at this rate; `null` when standing, running back or already past it. */
  readonly secondsToTarget: number | null;
  /** What still arrives after the hand stops: rate times the lag of scale and hand, never below 0. */
  readonly expectedOvershootGrams: number;
  /** Indication at which to stop so that the target is met. */
  readonly stopAtGrams: number;
}

/**
 * Rate by a least-squares line through the readings of the last `windowMilliseconds`, time to the target and
 * expected overshoot. `lagSeconds` is the delay of the display plus the hand (common practice, no source:
 * settling time constant of the scale plus 0.3 s).
 */
export function forecastDispensing(
  readings: readonly DispensingReading[],
  targetGrams: number,
  lagSeconds: number,
  windowMilliseconds = 1500,
): DispensingForecast {
  const last = readings.at(-1);
  if (last === undefined) {
    return { gramsPerSecond: 0, secondsToTarget: null, expectedOvershootGrams: 0, stopAtGrams: targetGrams };
  }
  const recent = readings.filter(
    ({ atMilliseconds }) => last.atMilliseconds - atMilliseconds <= windowMilliseconds,
  );
  const gramsPerSecond = slopePerMillisecond(recent) * 1000;
  const missing = targetGrams - last.grams;
  const overshoot = Math.max(0, gramsPerSecond * lagSeconds);
  return {
    gramsPerSecond,
    secondsToTarget: gramsPerSecond > 0 && missing > 0 ? missing / gramsPerSecond : null,
    expectedOvershootGrams: overshoot,
    stopAtGrams: targetGrams - overshoot,
  };
}

function slopePerMillisecond(readings: readonly DispensingReading[]): number {
  const count = readings.length;
  if (count < 2) return 0;
  const meanTime = readings.reduce((sum, { atMilliseconds }) => sum + atMilliseconds, 0) / count;
  const meanMass = readings.reduce((sum, { grams }) => sum + grams, 0) / count;
  let products = 0;
  let squares = 0;
  for (const { atMilliseconds, grams } of readings) {
    products += (atMilliseconds - meanTime) * (grams - meanMass);
    squares += (atMilliseconds - meanTime) ** 2;
  }
  return squares === 0 ? 0 : products / squares;
}
