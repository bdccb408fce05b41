/** A refusal: the user's input cannot be taken. Expected, a value, never thrown. */
export interface Refusal {
  /** Stable code in snake_case; the words for people are chosen at the screen. */
  readonly code: string;
  /** Dotted path of the field at fault, `''` for the whole input. */
  readonly field: string;
  /** One plain sentence: what is wrong and what to do. */
  readonly message: string;
  /** What the sentence names, where a screen says it in words of its own: a value given, a limit. */
  readonly values?: RefusalValues;
}

export type RefusalValues = Readonly<Record<string, string | number>>;

export type Result<Value, Error = Refusal> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly error: Error };

/** Wraps a value as success. */
export function ok<Value>(value: Value): { readonly ok: true; readonly value: Value } {
  return { ok: true, value };
}

/** Wraps a refusal as failure. */
export function refuse(
  code: string,
  field: string,
  message: string,
  values?: RefusalValues,
): { readonly ok: false; readonly error: Refusal } {
  return { ok: false, error: { code, field, message, ...(values === undefined ? {} : { values }) } };
}
