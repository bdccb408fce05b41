import type { LocalizedText } from '../../shared/sheet/localized-text.ts';
import type { Wording } from './wording.ts';

/** A step as its sheet names it; by its short name where the sheet cannot be read. */
export function stepName(
  { stepId, stepTitle }: { readonly stepId: string; readonly stepTitle: LocalizedText | null },
  { of }: Wording,
): string {
  return stepTitle === null ? stepId : of(stepTitle);
}
