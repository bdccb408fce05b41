import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { createDecoder } from '../../../drivers/decode.ts';
import { findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { createSettling } from '../../../drivers/settling.ts';
import { createReplay } from '../../../electron/station/audit/replay.ts';
import { stationReplay } from '../../../electron/station/audit/station-replay.ts';
import { canonicalJson, type JsonObject } from '../../../shared/evidence/canonical-json.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';

/** A scale without any flag: stable only by our own rule (line shape A10). */
const profile = findBuiltInProfile('scale-gross-net-frame');
if (profile === undefined) throw new Error('no such profile');
const body = JSON.parse(canonicalJson(profile)) as JsonObject;
const profileHash = createHash('sha256').update(canonicalJson(body)).digest('hex');

/** Lines ten times a second, as the bench keeps them. */
function kept(texts: readonly string[]) {
  return texts.map((text, index) => ({
    atMilliseconds: index * 100,
    base64: Buffer.from(`\x02 ${text.padStart(8)} LB GR\r\n`).toString('base64'),
  }));
}

function tareEvent(lines: ReturnType<typeof kept>, text: string, state: 'stable' | 'unstable'): StoredEvent {
  const indication = { offset: 0, text, value: Number(text), unit: 'lb', state };
  return {
    sequence: 9,
    stream: 'job/job-1',
    version: 3,
    kind: 'tareTaken',
    at: '2026-11-25T10:00:00+01:00',
    personId: 'amber',
    body: {
      kind: 'tareTaken',
      jobId: 'job-1',
      at: '2026-11-25T10:00:00+01:00',
      personId: 'amber',
      stepId: 'fill',
      indication,
      evidence: { profileHash, lines },
    },
    previousHash: '0'.repeat(64),
    hash: '1'.repeat(64),
  };
}

const findDocument = (hash: string) => (hash === profileHash ? { kind: 'profile', body } : undefined);

describe('the replay of a scale that has no stability flag', () => {
  it('calls a reading stable again by the steadiness rule and the kept times', () => {
    const lines = kept(Array.from({ length: 21 }, () => '25.00'));
    expect(stationReplay(tareEvent(lines, '25.00', 'stable'), findDocument)).toEqual([]);
  });

  it('finds a reading that was written down as stable while the pan still moved', () => {
    const lines = kept(Array.from({ length: 21 }, (_, index) => (20 + index / 4).toFixed(2)));
    const found = stationReplay(tareEvent(lines, '25.00', 'stable'), findDocument);
    expect(found).toMatchObject([{ kind: 'replay' }]);
  });

  it('calls exactly those readings stable that the live instrument called settled', () => {
    const texts = [
      ...Array.from({ length: 8 }, (_, index) => (10 + index).toFixed(2)),
      ...Array(20).fill('18.00'),
    ];
    const lines = kept(texts);
    const decoder = createDecoder(profile, { synchronised: true });
    const settling = createSettling(profile);
    const live = lines.flatMap(({ atMilliseconds, base64 }) =>
      decoder
        .push(Buffer.from(base64, 'base64'))
        .flatMap((outcome) =>
          outcome.kind === 'indication' ? [settling.isSettled(outcome.indication, atMilliseconds)] : [],
        ),
    );
    expect(live.filter(Boolean).length).toBeGreaterThan(5);
    live.forEach((settled, index) => {
      const event = tareEvent(lines.slice(0, index + 1), texts[index] ?? '', settled ? 'stable' : 'unstable');
      expect(stationReplay(event, findDocument)).toEqual([]);
    });
  });

  it('reports a stored profile that cannot be read', () => {
    const replay = createReplay(() => undefined);
    const found = replay(tareEvent(kept(['25.00']), '25.00', 'stable'), findDocument);
    expect(found).toMatchObject([{ finding: { code: 'tareWithoutProfile' } }]);
  });
});
