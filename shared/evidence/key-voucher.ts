import { canonicalJson } from './canonical-json.ts';

/** A key that takes over, and the one that signed until then. */
export interface KeyChange {
  /** Id of the new key. */
  readonly keyId: string;
  /** Id of the key before it. */
  readonly replaces: string;
}

/** The text that the old key signs for the new one: whoever knows the old key need not be told of the new one. */
export function keyVoucherText({ keyId, replaces }: KeyChange): string {
  return canonicalJson({ format: 'bandwright key voucher 1', keyId, replaces });
}
