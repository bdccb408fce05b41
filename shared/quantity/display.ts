import { exactDecimal, formatDecimal, type Rounding, roundToInteger } from './decimal-text.ts';
import { divide, multiply, type Rational, rational } from './rational.ts';

/**
 * The multiple of the resolution nearest to the value: 12.34 at 0.05 is 12.35. For display and graduations
 * only; nothing is judged on it. The resolution must be above zero.
 */
export function roundToResolution(
  value: Rational,
  resolution: Rational,
  rounding: Rounding = 'half-even',
): Rational {
  return multiply(rational(roundToInteger(divide(value, resolution), rounding)), resolution);
}

/** The value as an instrument of that resolution would show it: 25.7605 at 0.05 is `25.75`, at 1 is `26`. */
export function displayText(value: Rational, resolution: Rational, rounding: Rounding = 'half-even'): string {
  const resolutionText = exactDecimal(resolution);
  if (resolutionText === null) throw new RangeError('a resolution is a finite decimal such as 0.1');
  const decimals = resolutionText.split('.')[1]?.length ?? 0;
  return formatDecimal(roundToResolution(value, resolution, rounding), decimals, rounding);
}
