import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkNewPin, type PinAttempt, pinPolicy, pinStanding } from '../../../shared/people/pin-policy.ts';

const start = Date.parse('2026-11-25T09:00:00Z');
const at = (seconds: number) => new Date(start + seconds * 1000).toISOString();
const wrong = (count: number): PinAttempt[] =>
  Array.from({ length: count }, (_, index) => ({ at: at(index), right: false }));

describe('wrong PINs', () => {
  it('cost nothing for the first two: fingers in gloves', () => {
    expect(pinStanding([], at(0))).toEqual({ kind: 'free' });
    expect(pinStanding(wrong(2), at(2))).toEqual({ kind: 'free' });
  });

  it('cost a wait that doubles: 5, 10, 20 … s, at most five minutes', () => {
    const waits = [3, 4, 5, 6, 7, 8, 9].map((count) => {
      const standing = pinStanding(wrong(count), at(count - 1));
      return standing.kind === 'wait' ? standing.seconds : standing.kind;
    });
    expect(waits).toEqual([5, 10, 20, 40, 80, 160, 300]);
  });

  it('are waited out second by second', () => {
    expect(pinStanding(wrong(3), at(4))).toMatchObject({ kind: 'wait', seconds: 3, until: at(7) });
    expect(pinStanding(wrong(3), at(7))).toEqual({ kind: 'free' });
  });

  it('lock the account at the tenth in a row, for good', () => {
    expect(pinStanding(wrong(10), at(1e6))).toEqual({ kind: 'locked' });
    expect(pinStanding([...wrong(10), { at: at(20), right: true }], at(30))).toEqual({ kind: 'locked' });
  });

  it('are forgotten after a right one', () => {
    expect(pinStanding([...wrong(9), { at: at(500), right: true }], at(501))).toEqual({ kind: 'free' });
  });

  it('never keep a person out for longer than the wait itself, even when the clock was set back', () => {
    expect(pinStanding(wrong(4), at(-3600))).toEqual({ kind: 'free' });
    const standing = pinStanding(wrong(4), at(-10));
    expect(standing.kind === 'wait' && standing.seconds).toBe(10);
  });

  it('can never be tried more than lockedAfter times without an administrator, however patiently', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 1000 }), { maxLength: 60 }), (pauses) => {
        const attempts: PinAttempt[] = [];
        let seconds = 0;
        for (const pause of pauses) {
          seconds += pause;
          if (pinStanding(attempts, at(seconds)).kind === 'free')
            attempts.push({ at: at(seconds), right: false });
        }
        expect(attempts.length).toBeLessThanOrEqual(pinPolicy.lockedAfter);
      }),
    );
  });
});

describe('a new PIN', () => {
  it.each(['2580', '4719', '135799', '123456789013'])('may be %s', (pin) => {
    expect(checkNewPin(pin)).toEqual({ ok: true, value: pin });
  });
  it.each(['123', '1234567890123', '12a4', ' 2580', '', '２５８０'])(
    'has 4 to 12 digits: not "%s"',
    (pin) => {
      expect(checkNewPin(pin)).toMatchObject({ ok: false, error: { code: 'pin_shape' } });
    },
  );
  it.each(['0000', '7777777', '1234', '456789', '9876'])('is not as plain as %s', (pin) => {
    expect(checkNewPin(pin)).toMatchObject({ ok: false, error: { code: 'pin_too_plain' } });
  });
});
