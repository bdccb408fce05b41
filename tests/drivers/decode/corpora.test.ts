import { describe, expect, test } from 'vitest';
import { createDecoder } from '../../../drivers/decode.ts';
import { asSidecar, corpora, decodeAll, every, randomCutting, wholeFile } from './corpora.ts';

// Source of the truth: the sidecars of the corpora, which a reader of other hands (check.py beside them) confirms.
const cuttings = [
  ['byte by byte', every(1)],
  ['in sevens', every(7)],
  ['in blocks of 64', every(64)],
  ['as a whole', wholeFile],
  ['in random pieces', randomCutting(20_310_417)],
] as const;

test('all twelve recordings are here', () => {
  expect(corpora).toHaveLength(12);
});

describe.each(corpora)('$name', ({ profile, bytes, losses, accepted, refused }) => {
  test.each(cuttings)('fed %s gives exactly what its sidecar says', (_, cutting) => {
    expect(asSidecar(decodeAll(profile, bytes, { losses, cutting }))).toEqual({ accepted, refused });
  });

  test('every reading can be read again from its own bytes', () => {
    for (const outcome of decodeAll(profile, bytes, { losses })) {
      if (outcome.kind === 'rejection') continue;
      const { raw, indication, startOffset, endOffset } = outcome;
      expect(endOffset).toBeLessThanOrEqual(bytes.length);
      if (profile.ticket === undefined) {
        expect(Buffer.from(raw)).toEqual(bytes.subarray(startOffset, endOffset));
      }
      const decoder = createDecoder(profile, { synchronised: true });
      const again = [...decoder.push(raw), ...decoder.end()];
      expect(again).toHaveLength(1);
      const [only] = again;
      expect(only?.kind === 'indication' && only.indication).toEqual({
        ...indication,
        offset: indication.offset - startOffset,
      });
    }
  });
});
