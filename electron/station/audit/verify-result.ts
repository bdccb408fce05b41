/**
 * `chain`: every event, record and document is byte for byte what the station sealed, none is missing and none was
 * added. `content`: what they say agrees, once it is known that they are the station's.
 */
export type VerifyStage = 'chain' | 'content';

/** The result of the first stage, known long before that of the second. It says nothing of index, replay and file. */
export interface ChainResult {
  readonly intact: boolean;
  readonly problemCount: number;
}

export interface VerifyProgressCounts {
  readonly stage: VerifyStage;
  /** Places of the chain in this stage. */
  readonly done: number;
  readonly total: number;
  /** Null while the first stage runs. */
  readonly chain: ChainResult | null;
}

export interface VerifyResult {
  /** The last stage that was done. */
  readonly stage: VerifyStage;
  /** No finding in any stage that was done. */
  readonly intact: boolean;
  readonly chain: ChainResult;
  readonly events: number;
  readonly records: number;
  readonly documents: number;
  readonly problemCount: number;
  /** The keys that signed, in the order in which they came. Compare them with what the workshop gave you. */
  readonly keyIds: readonly string[];
}

/** The result where the database was too damaged to go on. */
export function brokenResult(
  stage: VerifyResult['stage'],
  chain: ChainResult | undefined,
  problemCount: number,
): VerifyResult {
  const found = { intact: false, problemCount };
  return { stage, ...found, chain: chain ?? found, events: 0, records: 0, documents: 0, keyIds: [] };
}
