import type { EvidenceReader } from './store/evidence-reader.ts';
import { openEvidence } from './store/open-store.ts';
import { storeFaultOf } from './store/store-fault.ts';

/** What the evidence of a folder gives; undefined where it cannot be read, which is said by a look of its own. */
export function fromEvidence<Value>(
  dataFolder: string,
  read: (evidence: EvidenceReader) => Value | undefined,
): Value | undefined {
  try {
    const evidence = openEvidence(dataFolder);
    try {
      return read(evidence);
    } finally {
      evidence.close();
    }
  } catch (error) {
    if (storeFaultOf(error) !== undefined) return undefined;
    throw error;
  }
}
