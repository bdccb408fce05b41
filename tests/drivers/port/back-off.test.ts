import { describe, expect, test } from 'vitest';
import { pauseBeforeRetry } from '../../../drivers/port/back-off.ts';

const pauses = (failure: Parameters<typeof pauseBeforeRetry>[0]) =>
  [0, 1, 2, 3, 4, 5, 50].map((attempt) => pauseBeforeRetry(failure, attempt));

describe('pauses between attempts to open a port', () => {
  test('a cable that was pulled is looked for at least twice a second, however long it is away', () => {
    expect(pauses('lost')).toEqual([100, 250, 500, 500, 500, 500, 500]);
    expect(pauses('missing')).toEqual([100, 250, 500, 500, 500, 500, 500]);
  });

  test.each(['busy', 'denied', 'failed'] as const)(
    'a port that is %s is asked less and less often',
    (failure) => {
      expect(pauses(failure)).toEqual([100, 250, 500, 1000, 2000, 5000, 5000]);
    },
  );
});
