import { type FindingCode, findingWords } from '../../shared/audit/finding.ts';

/** What a check of the evidence finds, in the English of the command line. */
export const englishFindings = Object.fromEntries(
  Object.entries(findingWords).map(([code, words]) => [`finding.${code}`, words]),
) as { readonly [Code in FindingCode as `finding.${Code}`]: string };
