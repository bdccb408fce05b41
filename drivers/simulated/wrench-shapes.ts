import { convertNumber } from '../../shared/quantity/conversion.ts';
import type { TorqueUnit } from '../../shared/quantity/unit.ts';

/** One moment of a pull, or its end, as the wrench knows it. */
export interface WrenchSample {
  readonly torqueNewtonMetres: number;
  readonly angleDegrees: number;
}

/** A finished pull. */
export interface WrenchPeak extends WrenchSample {
  /** Count of pulls since the wrench was switched on, from 1. */
  readonly number: number;
  /** The wrench's own clock, ISO 8601 without zone. */
  readonly stamp: string;
  readonly judgement: 'good' | 'low' | 'high';
}

/** How a simulated wrench writes. Shape names as in the built-in profiles. Undefined: it sends nothing then. */
export interface WrenchShape {
  /** Samples a second while pulling; 0 for a wrench that is silent until the pull is over. */
  readonly samplesPerSecond: number;
  /** A pure track stream goes on without a pull. */
  readonly streamsAlways: boolean;
  readonly units: readonly TorqueUnit[];
  begin?(targetNewtonMetres: number, unit: TorqueUnit, unitText?: string): string;
  sample?(sample: WrenchSample, unit: TorqueUnit, unitText?: string): string;
  peak?(peak: WrenchPeak, unit: TorqueUnit, unitText?: string): string;
  /** A battery message between pulls. */
  battery?(percent: number): string;
}

/** Below this torque a live stream sends nothing: the "active from" threshold of the wrench. */
export const activeFromNewtonMetres = 1;

function inUnit(torqueNewtonMetres: number, unit: TorqueUnit): number {
  return convertNumber(torqueNewtonMetres, 'N.m', unit);
}

function signed(value: number, width: number): string {
  return `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(1).padStart(width, '0')}`;
}

/** Line shape T9: a line that announces the pull, live lines, a final line. The unit is a setting, not in the line. */
function liveThenFinal(): WrenchShape {
  const torque = (sample: WrenchSample, unit: TorqueUnit) =>
    `${Math.abs(inUnit(sample.torqueNewtonMetres, unit)).toFixed(1)},${sample.torqueNewtonMetres < 0 ? 'A' : 'C'}`;
  const angle = (sample: WrenchSample) => Math.round(sample.angleDegrees);
  return {
    samplesPerSecond: 10,
    streamsAlways: false,
    units: ['N.m', 'lbf.ft', 'lbf.in'],
    begin: (target, unit, unitText) =>
      `T:UNT${unitText === undefined ? (unitCodes[unit] ?? 0) : unitCodeOfNoUse},TRQ${inUnit(target, unit).toFixed(1)},NUM1\r\n`,
    sample: (sample, unit) => `D:${torque(sample, unit)},${angle(sample)}\r\n`,
    peak: (peak, unit) =>
      `F:${torque(peak, unit)},${peak.judgement === 'good' ? 'OK' : 'NOK'},${angle(peak)},OK\r\n`,
    battery: (percent) => `BA:${percent}\r\n`,
  };
}

/** Code of a unit that the station does not judge in (dN·m). */
const unitCodeOfNoUse = 1;
/** Unit codes of line shape T9. */
const unitCodes: Readonly<Partial<Record<TorqueUnit, number>>> = { 'N.m': 0, 'lbf.ft': 6, 'lbf.in': 7 };

/** Line shape T5: one comma line for each pull, with index, unit, angle, judgement, id and stamp. */
function commaLine(): WrenchShape {
  return {
    samplesPerSecond: 0,
    streamsAlways: false,
    units: ['N.m', 'lbf.ft'],
    peak(peak, unit, unitText = unit === 'N.m' ? 'nm' : 'lbft') {
      const index = String(((peak.number - 1) % 999) + 1).padStart(3, '0');
      const torque = signed(inUnit(peak.torqueNewtonMetres, unit), 5);
      const turned = Math.round(peak.angleDegrees) * (peak.torqueNewtonMetres < 0 ? -1 : 1);
      const angle = `${turned < 0 ? '-' : '+'}${String(Math.abs(turned)).padStart(3, '0')}`;
      const letters = peak.judgement === 'good' ? 'OO' : peak.judgement === 'low' ? 'LO' : 'HO';
      return `HD,${index},${torque},${unitText},${angle},deg,${letters},123456A,${commaStamp(peak.stamp)}\r\n`;
    },
  };
}

/** `2031-04-17T10:02:11` as `31/04/17,10:02:11`. */
function commaStamp(stamp: string): string {
  return `${stamp.slice(2, 10).replaceAll('-', '/')},${stamp.slice(11, 19)}`;
}

/** Line shape T12: pure track mode, the torque of the moment ten or more times a second, no peak line. */
function trackStream(): WrenchShape {
  return {
    samplesPerSecond: 20,
    streamsAlways: true,
    units: ['N.m', 'lbf.ft'],
    sample: (sample, unit, unitText = unit) =>
      `${signed(inUnit(sample.torqueNewtonMetres, unit), 5)} ${unitText}\r\n`,
  };
}

/** Built-in profiles that a simulated wrench can speak. */
export type SimulatedWrenchProfile = 'wrench-live-then-final' | 'wrench-comma-line' | 'wrench-track-stream';

export const wrenchShapes: Readonly<Record<SimulatedWrenchProfile, WrenchShape>> = {
  'wrench-live-then-final': liveThenFinal(),
  'wrench-comma-line': commaLine(),
  'wrench-track-stream': trackStream(),
};
