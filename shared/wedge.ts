/**
 * Input from instruments and barcode readers that type as a keyboard ("wedge"), told from a person by a prefix or by
 * its pace. Pure: the keystrokes come in with their times.
 */

/** One key as the screen reports it: a character, or a name such as `Enter`. */
export interface Keystroke {
  readonly key: string;
  /** Milliseconds on any clock that does not jump. */
  readonly atMilliseconds: number;
}

export interface WedgeSettings {
  /** Characters that the device is set to send first; with it slow devices are known too. Empty: none. */
  readonly prefix: string;
  /** Keys that end an input. */
  readonly endKeys: readonly string[];
  /** Longest time between two keys of a burst. Common practice, no source: people need more than 50 ms. */
  readonly longestGapMilliseconds: number;
  /** The same after the prefix. */
  readonly longestGapAfterPrefixMilliseconds: number;
  /** A shorter burst may be a person who rolls over two keys. */
  readonly fewestCharacters: number;
}

export const usualWedgeSettings: WedgeSettings = {
  prefix: '',
  endKeys: ['Enter', 'Tab'],
  longestGapMilliseconds: 35,
  longestGapAfterPrefixMilliseconds: 200,
  fewestCharacters: 4,
};

/** The characters that may be the beginning of a device's input. */
export interface WedgeState {
  readonly text: string;
  readonly startedAtMilliseconds: number;
  readonly lastAtMilliseconds: number;
}

export const noKeys: WedgeState = { text: '', startedAtMilliseconds: 0, lastAtMilliseconds: 0 };

export type WedgeOutcome =
  /** Too early to say: show the key and be ready to take it away. */
  | { readonly kind: 'undecided' }
  /** A device typed this: the prefix and the end key are left out. */
  | { readonly kind: 'device'; readonly text: string; readonly by: 'prefix' | 'burst' }
  /** A person typed these characters, oldest first; the key in hand belongs to the person or begins a new input. */
  | { readonly kind: 'person'; readonly text: string; readonly key: string | null };

/** Longest input; what is longer is no code and no reading. */
const longestInput = 512;
const modifiers: ReadonlySet<string> = new Set([
  'Shift',
  'Control',
  'Alt',
  'AltGraph',
  'Meta',
  'CapsLock',
  'NumLock',
]);

/** Follows one keystroke. */
export function followKey(
  settings: WedgeSettings,
  state: WedgeState,
  { key, atMilliseconds }: Keystroke,
): { readonly state: WedgeState; readonly outcome: WedgeOutcome } {
  // A device that sends capitals presses Shift between its characters.
  if (modifiers.has(key)) return { state, outcome: { kind: 'undecided' } };
  const isInTime =
    state.text === '' || atMilliseconds - state.lastAtMilliseconds <= gapFor(settings, state.text);
  if (!isInTime) {
    const fresh = followKey(settings, noKeys, { key, atMilliseconds });
    const ownKey = fresh.outcome.kind === 'person' ? fresh.outcome.key : null;
    return { state: fresh.state, outcome: { kind: 'person', text: state.text, key: ownKey } };
  }
  if (settings.endKeys.includes(key))
    return { state: noKeys, outcome: concludeInput(settings, state.text, key) };
  if ([...key].length !== 1 || state.text.length >= longestInput) {
    return { state: noKeys, outcome: { kind: 'person', text: state.text, key } };
  }
  const startedAtMilliseconds = state.text === '' ? atMilliseconds : state.startedAtMilliseconds;
  return {
    state: { text: state.text + key, startedAtMilliseconds, lastAtMilliseconds: atMilliseconds },
    outcome: { kind: 'undecided' },
  };
}

function gapFor(
  { prefix, longestGapMilliseconds, longestGapAfterPrefixMilliseconds }: WedgeSettings,
  text: string,
) {
  return prefix !== '' && text.startsWith(prefix)
    ? longestGapAfterPrefixMilliseconds
    : longestGapMilliseconds;
}

function concludeInput(
  { prefix, fewestCharacters }: WedgeSettings,
  text: string,
  endKey: string,
): WedgeOutcome {
  if (prefix !== '' && text.length > prefix.length && text.startsWith(prefix)) {
    return { kind: 'device', text: text.slice(prefix.length), by: 'prefix' };
  }
  if ([...text].length >= fewestCharacters) return { kind: 'device', text, by: 'burst' };
  return { kind: 'person', text, key: endKey };
}
