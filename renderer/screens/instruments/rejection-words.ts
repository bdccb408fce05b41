import type { RejectionReason } from '../../../shared/indication.ts';
import { rejectionSentences } from '../../../shared/rejection-sentence.ts';

export { rejectionSentences };

/** Is this one of the reasons that have a sentence? */
export function isRejectionReason(reason: string): reason is RejectionReason {
  return Object.hasOwn(rejectionSentences, reason);
}
