import canonicalize from 'canonicalize';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';

const hex = (text: string) => Buffer.from(text).toString('hex');

describe('canonical JSON (RFC 8785)', () => {
  it('writes the example of RFC 8785, 3.2.4 byte for byte', () => {
    const input = {
      numbers: JSON.parse('[333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001]'),
      string: '\u20ac$\u000F\u000aA\'\u0042\u0022\u005c\\"\u002f',
      literals: [null, true, false],
    };
    // The bytes as the RFC prints them.
    expect(hex(canonicalJson(input))).toBe(
      '7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b3333333333333333332e' +
        '333333333333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22e282ac245c75303030665c' +
        '6e4127425c225c5c5c5c5c222f227d',
    );
  });

  it('sorts names by UTF-16 code units, as RFC 8785, 3.2.3 shows', () => {
    const input = {
      '\u20ac': 'Euro Sign',
      '\r': 'Carriage Return',
      '\ufb33': 'Hebrew Letter Dalet With Dagesh',
      '1': 'One',
      '\ud83d\ude00': 'Emoji: Grinning Face',
      '\u0080': 'Control',
      '\u00f6': 'Latin Small Letter O With Diaeresis',
    };
    const values = [...canonicalJson(input).matchAll(/:"([^"]*)"/g)].map((match) => match[1]);
    expect(values).toEqual([
      'Carriage Return',
      'One',
      'Control',
      'Latin Small Letter O With Diaeresis',
      'Euro Sign',
      'Emoji: Grinning Face',
      'Hebrew Letter Dalet With Dagesh',
    ]);
  });

  it('writes numbers as RFC 8785, appendix B shows', () => {
    const samples: [string, string][] = [
      ['0000000000000000', '0'],
      ['8000000000000000', '0'],
      ['0000000000000001', '5e-324'],
      ['8000000000000001', '-5e-324'],
      ['7fefffffffffffff', '1.7976931348623157e+308'],
      ['ffefffffffffffff', '-1.7976931348623157e+308'],
      ['4340000000000000', '9007199254740992'],
      ['c340000000000000', '-9007199254740992'],
      ['4430000000000000', '295147905179352830000'],
      ['44b52d02c7e14af5', '9.999999999999997e+22'],
      ['44b52d02c7e14af6', '1e+23'],
      ['44b52d02c7e14af7', '1.0000000000000001e+23'],
      ['444b1ae4d6e2ef4e', '999999999999999700000'],
      ['444b1ae4d6e2ef4f', '999999999999999900000'],
      ['444b1ae4d6e2ef50', '1e+21'],
      ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
      ['3eb0c6f7a0b5ed8d', '0.000001'],
      ['41b3de4355555553', '333333333.3333332'],
      ['41b3de4355555554', '333333333.33333325'],
      ['41b3de4355555555', '333333333.3333333'],
      ['41b3de4355555556', '333333333.3333334'],
      ['41b3de4355555557', '333333333.33333343'],
      ['becbf647612f3696', '-0.0000033333333333333333'],
      ['43143ff3c1cb0959', '1424953923781206.2'],
    ];
    for (const [bits, text] of samples) {
      expect(canonicalJson(Buffer.from(bits, 'hex').readDoubleBE(0)), bits).toBe(text);
    }
  });

  it('agrees with the package canonicalize on any JSON', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 5 }), (value) => {
        const wellFormed = JSON.stringify(value).replaceAll(/\\ud[89a-f][0-9a-f]{2}/g, '?');
        const parsed: unknown = JSON.parse(wellFormed);
        expect(canonicalJson(parsed)).toBe(canonicalize(parsed));
      }),
      { numRuns: 500 },
    );
  });

  it('reads back as the same data, and writes that the same way', () => {
    fc.assert(
      fc.property(fc.json({ maxDepth: 4 }), (text) => {
        const once = canonicalJson(JSON.parse(text.replaceAll(/\\ud[89a-f][0-9a-f]{2}/gi, '?')));
        expect(canonicalJson(JSON.parse(once))).toBe(once);
      }),
    );
  });

  it('leaves out what is undefined and refuses what JSON cannot say', () => {
    expect(canonicalJson({ a: undefined, b: 1 })).toBe('{"b":1}');
    const refused = [
      Number.NaN,
      Number.POSITIVE_INFINITY,
      undefined,
      () => 1,
      10n,
      [undefined],
      '\ud800',
      { '\udc00': 1 },
      new Date(0),
      new Map(),
      new Uint8Array(1),
    ];
    for (const value of refused) expect(() => canonicalJson(value)).toThrow(TypeError);
  });

  it('refuses nesting that would break the stack', () => {
    let deep: unknown = 1;
    for (let depth = 0; depth < 100_000; depth++) deep = [deep];
    expect(() => canonicalJson(deep)).toThrow(/nested deeper/);
  });

  it('keeps a property called __proto__', () => {
    expect(canonicalJson(JSON.parse('{"__proto__":1,"a":2}'))).toBe('{"__proto__":1,"a":2}');
  });
});
