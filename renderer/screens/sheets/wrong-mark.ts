/** What an input bears that a refusal speaks of: seen, said by a screen reader, and found for the focus. */
export interface WrongMark {
  readonly 'aria-invalid'?: true;
  readonly 'data-wrong'?: '';
}

export function wrongMark(isWrong: boolean): WrongMark {
  return isWrong ? { 'aria-invalid': true, 'data-wrong': '' } : {};
}
