import { createHash } from 'node:crypto';
import canonicalize from 'canonicalize';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { envelopeAround, eventHash, genesisHash } from '../../../shared/evidence/chain.ts';
import { firstSealLink, sealLink, sealText } from '../../../shared/evidence/seal.ts';

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

const envelope = {
  sequence: 7,
  stream: 'job/j-1',
  version: 2,
  kind: 'noteWritten',
  at: '2026-03-02T09:00:00.000+01:00',
  personId: 'person-1',
  bodyText: '{"text":"Fett rückstandslos entfernt"}',
  previousHash: genesisHash,
};

describe('the hash chain', () => {
  it('hashes the canonical JSON of place, content and the hash before', () => {
    const { bodyText, ...rest } = envelope;
    const independent = canonicalize({ ...rest, body: JSON.parse(bodyText) })!;
    expect(eventHash(envelope, sha256)).toBe(sha256(independent));
  });

  it('puts the body where its name sorts, whatever else is there', () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), fc.option(fc.string()), (kind, at, personId) => {
        fc.pre([kind, at, personId ?? ''].every((text) => text.isWellFormed()));
        const { bodyText: _, ...rest } = { ...envelope, kind, at, personId };
        const { before, after } = envelopeAround(rest);
        expect(`${before}{"x":1}${after}`).toBe(canonicalJson({ ...rest, body: { x: 1 } }));
      }),
    );
  });

  it('changes with every part of the event', () => {
    const hash = eventHash(envelope, sha256);
    const changes = [
      { sequence: 8 },
      { stream: 'job/j-2' },
      { version: 3 },
      { kind: 'x' },
      { at: '2026-03-02T09:00:00.001+01:00' },
      { personId: null },
      { bodyText: '{"text":"Fett ruckstandslos entfernt"}' },
      { previousHash: 'f'.repeat(64) },
    ];
    for (const change of changes) expect(eventHash({ ...envelope, ...change }, sha256)).not.toBe(hash);
  });
});

describe('a seal', () => {
  it('signs how long the chain is, how it ends and all seals before', () => {
    expect(sealText({ sequence: 3, hash: 'a', previousSeal: firstSealLink })).toBe(
      `{"format":"bandwright chain seal 1","hash":"a","previousSeal":"${'0'.repeat(64)}","sequence":3}`,
    );
  });

  it('links to the next by everything that it holds', () => {
    const seal = { previousSeal: firstSealLink, sequence: 3, stream: 'job/a', keyId: 'k', signature: 's' };
    const changes = [
      { previousSeal: 'x' },
      { sequence: 4 },
      { stream: 'job/b' },
      { keyId: 'l' },
      { signature: 't' },
    ];
    for (const change of changes)
      expect(sealLink({ ...seal, ...change }, sha256)).not.toBe(sealLink(seal, sha256));
  });
});
