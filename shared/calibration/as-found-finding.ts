import { convert } from '../quantity/conversion.ts';
import { rationalOfNumber } from '../quantity/decimal-text.ts';
import { absolute, compare, multiply, type Rational, toNumber } from '../quantity/rational.ts';
import type { Unit } from '../quantity/unit.ts';
import { type CalibrationPoint, type Certificate, errorOf } from './certificate.ts';
import type { InstrumentMetrology } from './metrology.ts';

/** What a calibration found before adjustment, at the point that lies worst. */
export interface AsFoundFinding {
  readonly unit: Unit;
  readonly indication: number;
  /** Indication − reference. */
  readonly error: number;
  /** Maximum permissible error there; null where the register has none. */
  readonly permitted: number | null;
  /** Null where nothing says how large an error may be. */
  readonly outOfTolerance: boolean | null;
}

/**
 * The as-found point that lies farthest out against the permissible error of the instrument; without one, the point
 * with the largest error. An error as large as permitted is inside (JCGM 106:2012, 3.3.5).
 */
export function asFoundFinding(
  { unit, asFound }: Pick<Certificate, 'unit' | 'asFound'>,
  metrology: InstrumentMetrology,
): AsFoundFinding | null {
  const findings = asFound.map((point) => findingAt(point, unit, metrology));
  const [first] = findings;
  if (first === undefined) return null;
  return findings.reduce((worst, one) => (farness(one) > farness(worst) ? one : worst), first);
}

function findingAt(point: CalibrationPoint, unit: Unit, metrology: InstrumentMetrology): AsFoundFinding {
  const error = errorOf(point);
  const permitted = permittedAt(point, unit, metrology);
  return {
    unit,
    indication: point.indication,
    error: toNumber(error),
    permitted: permitted === null ? null : toNumber(permitted),
    outOfTolerance: permitted === null ? null : compare(absolute(error), permitted) > 0,
  };
}

function farness({ error, permitted }: AsFoundFinding): number {
  return Math.abs(error) / (permitted ?? 1);
}

function permittedAt(
  { reference }: CalibrationPoint,
  unit: Unit,
  { maximumPermissibleError: permissible, unit: own }: InstrumentMetrology,
): Rational | null {
  if (permissible === undefined) return null;
  if (permissible.kind === 'relative') {
    const part = multiply(rationalOfNumber(permissible.fraction), absolute(rationalOfNumber(reference)));
    return part.numerator === 0n ? null : part;
  }
  const converted = convert(permissible.value, own, unit);
  return converted.ok ? converted.value : null;
}
