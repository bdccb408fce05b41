import { ok, type Result, refuse } from '../result.ts';

/** One try at a PIN, right or wrong. */
export interface PinAttempt {
  readonly at: string;
  readonly right: boolean;
}

/** How wrong PINs are answered. Common practice, no source. */
export const pinPolicy = {
  minimumDigits: 4,
  maximumDigits: 12,
  /** Wrong in a row that cost nothing: fingers in gloves. */
  freeTries: 2,
  /** The wait after the next one; it doubles from one to the next. */
  firstWaitSeconds: 5,
  longestWaitSeconds: 300,
  /** Wrong in a row after which only an administrator helps, by setting a new PIN. */
  lockedAfter: 10,
} as const;

/** What the tries so far mean for the next one. */
export type PinStanding =
  | { readonly kind: 'free' }
  | { readonly kind: 'wait'; readonly until: string; readonly seconds: number }
  | { readonly kind: 'locked' };

/**
 * Whether a PIN may be tried now. `attempts` are those since the PIN was last set, oldest first; a right one
 * ends a row of wrong ones, except that a locked account stays locked until a new PIN is set.
 */
export function pinStanding(attempts: readonly PinAttempt[], at: string): PinStanding {
  let wrongInARow = 0;
  let lastWrongAt = '';
  for (const attempt of attempts) {
    wrongInARow = attempt.right ? 0 : wrongInARow + 1;
    if (!attempt.right) lastWrongAt = attempt.at;
    if (wrongInARow >= pinPolicy.lockedAfter) return { kind: 'locked' };
  }
  if (wrongInARow <= pinPolicy.freeTries) return { kind: 'free' };
  const doublings = wrongInARow - pinPolicy.freeTries - 1;
  const wait = Math.min(pinPolicy.firstWaitSeconds * 2 ** doublings, pinPolicy.longestWaitSeconds);
  const elapsed = (Date.parse(at) - Date.parse(lastWrongAt)) / 1000;
  // A clock that was set far back must not lock a person out until it has caught up.
  if (elapsed >= wait || elapsed < -pinPolicy.longestWaitSeconds) return { kind: 'free' };
  const seconds = Math.ceil(Math.min(wait, wait - elapsed));
  return { kind: 'wait', until: new Date(Date.parse(at) + seconds * 1000).toISOString(), seconds };
}

/** A PIN fit to be set: digits only, not all the same, no plain run such as 1234 or 9876. */
export function checkNewPin(pin: string): Result<string> {
  const { minimumDigits, maximumDigits } = pinPolicy;
  if (!/^\d+$/.test(pin) || pin.length < minimumDigits || pin.length > maximumDigits) {
    return refuse(
      'pin_shape',
      'pin',
      `A PIN has ${minimumDigits} to ${maximumDigits} digits; choose another.`,
    );
  }
  const steps = new Set([...pin].slice(1).map((digit, index) => Number(digit) - Number(pin[index])));
  const step = steps.size === 1 ? [...steps][0] : undefined;
  if (step === 0 || step === 1 || step === -1) {
    return refuse(
      'pin_too_plain',
      'pin',
      'A PIN of equal or running digits is guessed at once; choose another.',
    );
  }
  return ok(pin);
}
