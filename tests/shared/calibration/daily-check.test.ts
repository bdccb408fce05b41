import { expect, test } from 'vitest';
import { judgeDailyCheck } from '../../../shared/calibration/daily-check.ts';

const reference = { value: 200, unit: 'g' } as const;
const limit = { value: 100, unit: 'mg' } as const;

test.each([
  ['200.1', true, '0.1'],
  ['199.9', true, '-0.1'],
  ['200.10000001', false, '0.10000001'],
  ['199.8', false, '-0.2'],
])('%s g on a 200 g weight with ± 100 mg: passed is %s', (text, passed, difference) => {
  const found = judgeDailyCheck({ reference, limit, indication: { text, unit: 'g' } });
  expect(found).toMatchObject({
    ok: true,
    value: { passed, difference: { text: difference, unit: 'g' }, limit: 0.1 },
  });
});

test('a check in another unit of the scale is compared exactly', () => {
  const found = judgeDailyCheck({ reference, limit, indication: { text: '0.2001', unit: 'kg' } });
  expect(found).toMatchObject({ ok: true, value: { passed: true } });
});

test.each([
  ['a torque', { indication: { value: 1, unit: 'N.m' as const } }, 'indication.unit'],
  ['a limit of zero', { limit: { value: 0, unit: 'g' as const } }, 'limit.value'],
  ['no number', { indication: { value: Number.NaN, unit: 'g' as const } }, 'indication.value'],
])('%s is refused', (_, part, field) => {
  const check = { reference, limit, indication: { value: 200, unit: 'g' as const }, ...part };
  expect(judgeDailyCheck(check)).toMatchObject({ ok: false, error: { field } });
});
