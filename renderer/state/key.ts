/** A key as an action names it: modifiers in the order Ctrl, Alt, Shift, then the key (`Shift+F9`, `Enter`). */
export function keyOf(event: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'altKey' | 'shiftKey'>): string {
  const modifiers = [
    event.ctrlKey ? 'Ctrl+' : '',
    event.altKey ? 'Alt+' : '',
    event.shiftKey ? 'Shift+' : '',
  ].join('');
  return `${modifiers}${event.key}`;
}

/** Keys that browsers use for themselves and that must do nothing of their own here. */
export function isFunctionKey(key: string): boolean {
  return /(^|\+)F([1-9]|10)$/.test(key);
}
