import { convertNumber } from '../../shared/quantity/conversion.ts';
import type { ScaleReading } from './physics/scale-physics.ts';
import type { ScaleUnit } from './scale-action.ts';

/** How a simulated scale writes what it shows. Shape names as in the built-in profiles. */
export interface ScaleShape {
  /** A continuous scale sends by itself; an on-demand one only answers. */
  readonly mode: 'continuous' | 'on demand';
  /** One line with its line end. `unitText` writes another unit than the true one (a fault). */
  encode(reading: ScaleReading, unit: ScaleUnit, unitText?: string): string;
  /** What a request asks for; undefined for bytes that are no request. */
  understand?(request: string): 'stable value' | 'value' | 'tare' | 'zero' | undefined;
  /** The answer to something that cannot be answered now. */
  readonly busy?: string;
  readonly notUnderstood?: string;
  readonly done?: Readonly<Partial<Record<'tare' | 'zero', string>>>;
}

/** Decimal places of each unit on a display with 0.01 g steps. */
const places: Readonly<Record<ScaleUnit, number>> = { g: 2, kg: 5, oz: 4, lb: 5 };

/** Digits without sign, right-justified. */
function digits(netGrams: number, unit: ScaleUnit, width: number): string {
  return Math.abs(convertNumber(netGrams, 'g', unit))
    .toFixed(places[unit])
    .padStart(width);
}

function isNegative(netGrams: number): boolean {
  return netGrams < 0;
}

/** Line shape A1: two-letter state, gross or net, sign column, eight value columns, blank, unit. */
const commaHeader: ScaleShape = {
  mode: 'continuous',
  encode(reading, unit, unitText = unit) {
    const mode = reading.mode === 'net' ? 'NT' : 'GS';
    const sign = isNegative(reading.netGrams) ? '-' : '+';
    const unitColumns = unitText.padStart(2);
    switch (reading.condition) {
      case 'overload':
        return `OL,${mode},+        ${unitColumns}\r\n`;
      case 'underload':
        return `UL,${mode},-        ${unitColumns}\r\n`;
      default: {
        const state = reading.condition === 'stable' ? 'ST' : 'US';
        return `${state},${mode},${sign}${digits(reading.netGrams, unit, 8)}${unitColumns}\r\n`;
      }
    }
  },
};

/** Line shape A8: answer on demand, letter for stable or dynamic, ten value columns. */
const requestLetter: ScaleShape = {
  mode: 'on demand',
  encode(reading, unit, unitText = unit) {
    switch (reading.condition) {
      case 'overload':
        return 'S +\r\n';
      case 'underload':
        return 'S -\r\n';
      default: {
        const letter = reading.condition === 'stable' ? 'S' : 'D';
        const sign = isNegative(reading.netGrams) ? '-' : '';
        const number = `${sign}${digits(reading.netGrams, unit, 0)}`.padStart(10);
        return `S ${letter} ${number} ${unitText}\r\n`;
      }
    }
  },
  understand(request) {
    switch (request) {
      case 'S':
        return 'stable value';
      case 'SI':
        return 'value';
      case 'T':
        return 'tare';
      case 'Z':
        return 'zero';
      default:
        return undefined;
    }
  },
  busy: 'S I\r\n',
  notUnderstood: 'ES\r\n',
  done: { tare: 'T S\r\n', zero: 'Z A\r\n' },
};

export const scaleShapes: Readonly<Record<SimulatedScaleProfile, ScaleShape>> = {
  'scale-comma-header': commaHeader,
  'scale-request-letter': requestLetter,
};

/** Built-in profiles that a simulated scale can speak. */
export type SimulatedScaleProfile = 'scale-comma-header' | 'scale-request-letter';
