/** What must come before the next step of a dialogue: exactly these bytes, or bytes of this form. */
export type StepAnswer = { readonly exact: Uint8Array } | { readonly form: RegExp };

const nothing = new Uint8Array(0);
/** An answer of free form that is longer than this is none. */
const longestAnswer = 256;

/**
 * Looks for an answer in what has come. `others` are bytes that cannot belong to it, `found` what came behind it
 * (null while it is not complete), `held` the beginning of a possible answer.
 */
export function findAnswer(
  answer: StepAnswer,
  heldBefore: Uint8Array,
  bytes: Uint8Array,
): { readonly found: Uint8Array | null; readonly held: Uint8Array; readonly others: Uint8Array } {
  const others: number[] = [];
  let held = [...heldBefore];
  for (const [index, byte] of bytes.entries()) {
    held.push(byte);
    if (isComplete(answer, held)) {
      return { found: bytes.subarray(index + 1), held: nothing, others: Uint8Array.from(others) };
    }
    while (held.length > 0 && !isPossible(answer, held)) {
      others.push(...held.slice(0, 1));
      held = held.slice(1);
    }
  }
  return { found: null, held: Uint8Array.from(held), others: Uint8Array.from(others) };
}

function isComplete(answer: StepAnswer, held: readonly number[]): boolean {
  if ('form' in answer) return answer.form.test(String.fromCharCode(...held));
  return held.length === answer.exact.length && isPossible(answer, held);
}

function isPossible(answer: StepAnswer, held: readonly number[]): boolean {
  if ('form' in answer) return held.length <= longestAnswer;
  return held.length <= answer.exact.length && held.every((byte, index) => byte === answer.exact[index]);
}
