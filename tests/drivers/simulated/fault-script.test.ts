import { describe, expect, test } from 'vitest';
import { parseFaultScript } from '../../../drivers/simulated/fault-script.ts';

describe('a fault script', () => {
  test('is a list of faults with their times', () => {
    const script = [
      { kind: 'noise', atMilliseconds: 100, bytes: 20 },
      { kind: 'flood', atMilliseconds: 200, forMilliseconds: 50 },
    ];
    expect(parseFaultScript(JSON.parse(JSON.stringify(script)))).toEqual({
      ok: true,
      value: [script[0], { ...script[1], bytesPerSecond: 1_000_000 }],
    });
  });

  test.each([
    [[{ kind: 'earthquake', atMilliseconds: 0 }], '[0].kind'],
    [[{ kind: 'noise', atMilliseconds: -1, bytes: 1 }], '[0].atMilliseconds'],
    [[{ kind: 'noise', atMilliseconds: 0 }], '[0].bytes'],
    [{ kind: 'noise' }, ''],
  ])('that is wrong is refused with the field: %j', (script, field) => {
    const result = parseFaultScript(script);
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.error.field).toBe(field);
  });
});
