import { calibrationState } from '../calibration/certificate.ts';
import type { Instrument } from './instrument.ts';

export const fitnessCodes = [
  'ok',
  'conceded',
  'retired',
  'uncertified',
  'not_yet_valid',
  'out_of_date',
  'check_failed',
  'check_missing',
] as const;
export type FitnessCode = (typeof fitnessCodes)[number];

/**
 * May this instrument be used for a capture now? `usable` is true for `ok` and `conceded` only; `concession`
 * is then the lead's reason, to be kept with every capture.
 */
export interface InstrumentFitness {
  readonly usable: boolean;
  readonly code: FitnessCode;
  /** One plain sentence: what is wrong and what to do. */
  readonly message: string;
  readonly concession: string | null;
}

/** The certificate that counts at an instant: the one with the newest date not after it, else the newest. */
export function certificateInForce(
  instrument: Instrument,
  atIso: string,
): Instrument['certificates'][number] | null {
  const byDate = [...instrument.certificates].sort((a, b) =>
    a.certificate.date < b.certificate.date ? -1 : a.certificate.date > b.certificate.date ? 1 : 0,
  );
  return (
    byDate.findLast(({ certificate }) => certificate.date <= atIso.slice(0, 10)) ?? byDate.at(-1) ?? null
  );
}

/**
 * Fitness of an instrument at an instant. A lead's concession lifts what time and checks have against it, not
 * its retirement and not a missing certificate, since without one nothing can be judged; and not a check that
 * failed after it was granted, since that was not known then.
 */
export function instrumentFitness(instrument: Instrument, atIso: string): InstrumentFitness {
  const trouble = troubleOf(instrument, atIso);
  if (trouble === null) {
    return { usable: true, code: 'ok', message: `${instrument.name} is fit for use.`, concession: null };
  }
  const { concession } = instrument;
  if (
    isConcedable(trouble.code) &&
    concession !== null &&
    isBetween(concession.at, atIso, concession.until) &&
    !hasFailedSince(instrument, concession.at)
  ) {
    return {
      usable: true,
      code: 'conceded',
      message: `Conceded until ${concession.until}: ${concession.reason}`,
      concession: concession.reason,
    };
  }
  return { usable: false, ...trouble, concession: null };
}

/** What a lead may let pass for a while. */
export function isConcedable(code: FitnessCode): boolean {
  return code !== 'ok' && code !== 'retired' && code !== 'uncertified';
}

function hasFailedSince({ lastCheck }: Instrument, at: string): boolean {
  return lastCheck !== null && !lastCheck.passed && Date.parse(lastCheck.at) > Date.parse(at);
}

function isBetween(from: string, at: string, until: string): boolean {
  return Date.parse(from) <= Date.parse(at) && Date.parse(at) <= Date.parse(until);
}

function troubleOf(instrument: Instrument, atIso: string): { code: FitnessCode; message: string } | null {
  const { name } = instrument;
  if (instrument.retired !== null) {
    return {
      code: 'retired',
      message: `${name} is retired (${instrument.retired}); use another instrument.`,
    };
  }
  const inForce = certificateInForce(instrument, atIso);
  if (inForce === null) {
    return { code: 'uncertified', message: `${name} has no calibration certificate; enter it.` };
  }
  const { certificate } = inForce;
  switch (calibrationState(certificate, atIso)) {
    case 'not yet valid':
      return { code: 'not_yet_valid', message: `${name} is certified from ${certificate.date} on only.` };
    case 'out of date':
      return {
        code: 'out_of_date',
        message: `The calibration of ${name} ran out on ${certificate.due}; have it calibrated or ask a lead.`,
      };
    default:
      return checkTroubleOf(instrument, atIso);
  }
}

function checkTroubleOf(
  instrument: Instrument,
  atIso: string,
): { code: FitnessCode; message: string } | null {
  const { name, lastCheck, checkEveryHours } = instrument;
  // A failed check counts even where no check is asked for.
  if (lastCheck !== null && !lastCheck.passed) {
    return { code: 'check_failed', message: `${name} failed its check; find the cause, then check again.` };
  }
  if (checkEveryHours === null) return null;
  const hoursSince = lastCheck === null ? Number.POSITIVE_INFINITY : hoursBetween(lastCheck.at, atIso);
  if (hoursSince <= checkEveryHours) return null;
  return {
    code: 'check_missing',
    message: `${name} has not been checked for ${checkEveryHours} h; check it now.`,
  };
}

function hoursBetween(from: string, to: string): number {
  return (Date.parse(to) - Date.parse(from)) / 3_600_000;
}
