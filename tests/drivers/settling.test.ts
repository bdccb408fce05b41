import { describe, expect, test } from 'vitest';
import { builtInProfileNames } from '../../drivers/profiles/index.ts';
import { createSettling, steadinessRuleOf } from '../../drivers/settling.ts';
import { usualSteadinessRule } from '../../drivers/steadiness.ts';
import type { Indication } from '../../shared/indication.ts';
import { profileNamed } from '../serial/profile-named.ts';

const mass = (text: string, state: Indication['state']): Indication => ({
  offset: 0,
  text,
  value: Number(text),
  unit: 'g',
  state,
});

describe('when a value is settled', () => {
  test('a scale with a flag is believed', () => {
    const settling = createSettling(profileNamed('scale-comma-header'));
    expect(settling.isSettled(mass('1.00', 'stable'), 0)).toBe(true);
    expect(settling.isSettled(mass('1.00', 'unstable'), 100)).toBe(false);
  });

  test.each(builtInProfileNames)(
    '%s is settled by its own flag or by a rule, whichever its examples show',
    (name) => {
      const profile = profileNamed(name);
      const states = profile.examples.flatMap(({ expected }) =>
        expected.flatMap((outcome) => ('state' in outcome ? [outcome.state] : [])),
      );
      const rule = steadinessRuleOf(profile);
      if (profile.kind !== 'mass') expect(rule).toBeNull();
      else if (states.includes('stable')) expect(rule).toBe(profile.steadiness ?? null);
      else if (states.includes('unstable')) expect(rule).not.toBeNull();
    },
  );

  test('a scale without a flag is settled by our rule, and not again right after a reset', () => {
    const { stability: _, ...profile } = profileNamed('scale-comma-header');
    expect(steadinessRuleOf(profile)).toBe(usualSteadinessRule);
    const settling = createSettling(profile);
    const course = (from: number) =>
      Array.from({ length: 15 }, (_, n) => settling.isSettled(mass('24.86', 'unstable'), from + n * 100));
    const first = course(0);
    expect(first.slice(0, 10)).not.toContain(true);
    expect(first.at(-1)).toBe(true);
    settling.reset();
    expect(course(1500).slice(0, 10)).not.toContain(true);
  });

  test('a rule that the profile names is used even beside a flag', () => {
    const rule = { readings: 2, window_ms: 100, spread_divisions: 0 };
    expect(steadinessRuleOf({ ...profileNamed('scale-comma-header'), steadiness: rule })).toBe(rule);
  });

  test('a torque is settled only when it is a peak', () => {
    const profile = profileNamed('wrench-live-then-final');
    expect(steadinessRuleOf(profile)).toBeNull();
    const settling = createSettling(profile);
    expect(settling.isSettled({ ...mass('27.0', 'track'), unit: 'N.m' }, 0)).toBe(false);
    expect(settling.isSettled({ ...mass('27.0', 'peak'), unit: 'N.m' }, 0)).toBe(true);
  });
});
