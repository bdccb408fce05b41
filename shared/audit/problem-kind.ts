/** What can be wrong with evidence. */
export type ProblemKind =
  | 'altered'
  | 'removed'
  | 'added'
  | 'reordered'
  | 'rewritten'
  | 'truncated'
  | 'unreadable'
  | 'index'
  | 'document'
  | 'record'
  | 'signature'
  | 'seal'
  | 'head'
  | 'key'
  | 'replay'
  | 'judgement'
  | 'database';
