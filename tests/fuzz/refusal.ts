import type { Refusal } from '../../shared/result.ts';

/** A refusal says which field, what is wrong and what to do, in a sentence that can be printed. */
export function isRefusal({ code, field, message }: Refusal): boolean {
  return /^[a-z][a-z0-9_]*$/.test(code) && field.length <= 300 && message.length > 5 && message.length < 1000;
}
