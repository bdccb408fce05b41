import type { Limits } from '../acceptance/conformance.ts';
import { type GlobalRisks, globalRisks } from '../acceptance/risk.ts';

/** How the readings of a process were measured and accepted, in the unit of their study. */
export interface ReadingZone {
  readonly standardUncertainty: number;
  /** Null where nothing could be accepted. */
  readonly acceptance: Limits | null;
}

/** The risks of accepting and rejecting what a process makes, and what they were worked out from. */
export interface ProcessRisk extends GlobalRisks {
  readonly standardUncertainty: number;
  /** Of the process alone: of the readings, less that of measuring. */
  readonly standardDeviation: number;
}

/**
 * Global risks of a process known by its readings (JCGM 106:2012, 9.5): their variance is that of the process and that
 * of measuring together. Null where the readings scatter no more than measuring explains, or nothing is accepted.
 */
export function processRisk(
  readings: { readonly mean: number; readonly standardDeviation: number },
  tolerance: Limits,
  { standardUncertainty, acceptance }: ReadingZone,
): ProcessRisk | null {
  const variance = readings.standardDeviation ** 2 - standardUncertainty ** 2;
  if (acceptance === null || !(variance > 0)) return null;
  const standardDeviation = Math.sqrt(variance);
  const process = { mean: readings.mean, standardDeviation };
  return {
    ...globalRisks(process, standardUncertainty, tolerance, acceptance),
    standardUncertainty,
    standardDeviation,
  };
}
