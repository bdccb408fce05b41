export const fitnessCodes = [
  'ok',
  'conceded',
  'retired',
  'uncertified',
  'out_of_date',
  'check_failed',
  'check_missing',
] as const;

/**
 * May this instrument be used for a capture now? `usable` is true for `ok` and `conceded` only; `concession`
 * is then the lead's reason, to be kept with every capture.
 */
export interface InstrumentFitness {
  readonly usable: boolean;
  readonly code: (typeof fitnessCodes)[number];
  /** One plain sentence: what is wrong and what to do. */
  readonly message: string;
  readonly concession: string | null;
}
