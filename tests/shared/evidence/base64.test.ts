import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromBase64, toBase64 } from '../../../shared/evidence/base64.ts';

describe('base64', () => {
  it('writes the test vectors of RFC 4648, section 10', () => {
    const vectors = {
      '': '',
      f: 'Zg==',
      fo: 'Zm8=',
      foo: 'Zm9v',
      foob: 'Zm9vYg==',
      fooba: 'Zm9vYmE=',
      foobar: 'Zm9vYmFy',
    };
    for (const [text, encoded] of Object.entries(vectors)) {
      expect(toBase64(Buffer.from(text))).toBe(encoded);
      expect(Buffer.from(fromBase64(encoded)!).toString()).toBe(text);
    }
  });

  it('agrees with Node and comes back as the same bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        const text = toBase64(bytes);
        expect(text).toBe(Buffer.from(bytes).toString('base64'));
        expect(fromBase64(text)).toEqual(bytes);
      }),
    );
  });

  it('knows one spelling of the same bytes only', () => {
    for (const text of [
      'Zg=',
      'Zg',
      'Zh==',
      'Zm9=',
      'Z===',
      '====',
      'Zm9v\n',
      'Zm-v',
      'Zm9vZg==Zg==',
      'Zmé=',
    ]) {
      expect(fromBase64(text), text).toBeUndefined();
    }
    fc.assert(
      fc.property(fc.string({ maxLength: 12, unit: fc.constantFrom(...'ABgw0/+=') }), (text) => {
        const bytes = fromBase64(text);
        if (bytes !== undefined) expect(toBase64(bytes)).toBe(text);
      }),
    );
  });
});
