import * as fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ChainPiece } from '../../electron/station/site/local-chain.ts';
import type { SiteClient } from '../../electron/station/site/site-client.ts';
import { connectSite } from '../../electron/station/site/site-client.ts';
import type { SiteSession } from '../../electron/station/site/site-session.ts';
import { sha256 } from '../../electron/station/store/sha256.ts';
import { canonicalJson } from '../../shared/evidence/canonical-json.ts';
import { eventHash } from '../../shared/evidence/chain.ts';
import { sealLink } from '../../shared/evidence/seal.ts';
import { writeInventedJobs } from '../station/store/bench.ts';
import { SiteBench, withChain, withStore } from './site-bench.ts';

let site: SiteBench;
let session: SiteSession;
let owner: SiteClient;
let whole: ChainPiece;
const stationId = 'station-of-honest';

beforeAll(async () => {
  site = await SiteBench.start();
  await site.addBench('bench-1');
  const folder = site.stationFolder('honest');
  withStore(folder, (store) => writeInventedJobs(store, 1));
  whole = withChain(folder, (chain) => chain.pieceAfter(0, { events: 10_000, bytes: 1e9 }))!;
  session = await site.session('bench-1');
  owner = await connectSite(site.access('site_administrator'));
});
afterAll(async () => {
  await session.close();
  await owner.end();
  await site.end();
});

type Row = Readonly<Record<string, unknown>>;

/** Another value of the same kind. */
function changed(value: unknown, at: number): unknown {
  if (typeof value === 'number') return value + 1 + (at % 5);
  if (value === null) return 'somebody';
  if (value instanceof Uint8Array) {
    const bytes = Uint8Array.from(value);
    const place = at % bytes.length;
    bytes[place] = (bytes[place] ?? 0) ^ (1 + (at % 255));
    return Buffer.from(bytes);
  }
  const text = String(value);
  const place = at % (text.length + 1);
  return `${text.slice(0, place)}${text[place] === 'x' ? 'y' : 'x'}${text.slice(place + 1)}`;
}

/** The list with one thing done to one of its places. */
function tampered<Item>(
  list: readonly Item[],
  at: number,
  how: 'change' | 'drop' | 'swap' | 'repeat',
  field: number,
): readonly Item[] {
  const place = at % list.length;
  const item = list[place] as Item;
  switch (how) {
    case 'drop':
      return list.toSpliced(place, 1);
    case 'swap':
      return list.with(place, list[(place + 1) % list.length] as Item).with((place + 1) % list.length, item);
    case 'repeat':
      return list.toSpliced(place, 0, item);
    case 'change': {
      if (typeof item !== 'object' || item === null) return list.with(place, changed(item, at) as Item);
      const names = Object.keys(item);
      const name = names[field % names.length] ?? '';
      return list.with(place, { ...item, [name]: changed((item as Row)[name], at) } as Item);
    }
  }
}

describe('whatever is done to a piece of a chain', () => {
  it('the server takes nothing of it', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom('events', 'seals', 'documents', 'records'),
        fc.constantFrom('change', 'drop', 'swap', 'repeat'),
        fc.nat(100_000),
        fc.nat(100),
        async (list, how, at, field) => {
          const piece = { ...whole, [list]: tampered<unknown>(whole[list], at, how, field) } as ChainPiece;
          // Bodies that stand in another order or twice are the same evidence.
          fc.pre(!((list === 'documents' || list === 'records') && (how === 'swap' || how === 'repeat')));
          const answer = await session.push(stationId, piece);
          expect(answer.accepted, `${list} ${how} ${at} ${field}`).toBe(false);
        },
      ),
      { numRuns: 150 },
    );
    const { rows } = await owner.query('SELECT count(*)::integer AS count FROM bandwright.chain');
    expect(rows[0].count).toBe(0);
    expect(await session.push(stationId, whole)).toEqual({ accepted: true, sequence: whole.events.length });
  }, 120_000);
});

describe('the server’s own hashes', () => {
  // PostgreSQL's text has no NUL; a station that wrote one into these columns could not push it.
  const text = fc
    .string({ unit: 'binary', maxLength: 40 })
    .filter((one) => one.isWellFormed() && !one.includes('\u0000'));

  it('of an event is the station’s, whatever letters are in it', async () => {
    await fc.assert(
      fc.asyncProperty(
        text,
        text,
        fc.option(text),
        fc.dictionary(text, fc.string({ unit: 'binary' })),
        fc.nat(),
        async (at, kind, personId, plain, sequence) => {
          fc.pre(Object.values(plain).every((one) => one.isWellFormed()));
          const bodyText = canonicalJson({ ...plain });
          const previousHash = sha256(at);
          const envelope = {
            sequence,
            stream: `job/${kind}`,
            version: 3,
            kind,
            at,
            personId,
            bodyText,
            previousHash,
          };
          const { rows } = await owner.query(
            "SELECT encode(bandwright.event_hash($1, $2, $3, $4, decode($5, 'hex'), $6, $7, 3), 'hex') AS hash",
            [at, bodyText, kind, personId, previousHash, sequence, `job/${kind}`],
          );
          expect(rows[0].hash).toBe(eventHash(envelope, sha256));
        },
      ),
      { numRuns: 200 },
    );
  }, 60_000);

  it('of a seal is the station’s', async () => {
    await fc.assert(
      fc.asyncProperty(
        text,
        text,
        fc.nat(),
        fc.uint8Array({ minLength: 64, maxLength: 64 }),
        async (stream, keyId, sequence, signature) => {
          const previousSeal = sha256(stream);
          const { rows } = await owner.query(
            "SELECT encode(bandwright.seal_link($1, decode($2, 'hex'), $3, $4, $5), 'hex') AS link",
            [keyId, previousSeal, sequence, Buffer.from(signature), stream],
          );
          const entry = {
            previousSeal,
            sequence,
            stream,
            keyId,
            signature: Buffer.from(signature).toString('base64'),
          };
          expect(rows[0].link).toBe(sealLink(entry, sha256));
        },
      ),
      { numRuns: 100 },
    );
  }, 60_000);
});
