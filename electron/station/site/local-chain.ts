import { z } from 'zod';
import { eventColumns, eventRowSchema, hexOf } from '../store/event-row.ts';
import type { Database } from '../store/sqlite.ts';
import { StoreFault, withFaults } from '../store/store-fault.ts';

const bytes = z.instanceof(Uint8Array);
export const sealRowSchema = z.object({
  sequence: z.int(),
  stream: z.string(),
  key_id: z.string(),
  signature: bytes,
  link: bytes,
});
export type LocalEvent = z.infer<typeof eventRowSchema>;
export type LocalSeal = z.infer<typeof sealRowSchema>;

/** A piece of the chain that ends with a seal, with everything that its events name. */
export interface ChainPiece {
  readonly events: readonly LocalEvent[];
  readonly seals: readonly LocalSeal[];
  /** Bodies, canonical JSON. */
  readonly documents: readonly string[];
  readonly records: readonly string[];
}

export interface PieceLimits {
  /** At most so many events, unless one append has more. */
  readonly events: number;
  /** About so many bytes of bodies, unless one append has more. */
  readonly bytes: number;
}

/** The station's chain as the outbox reads it, beside the station that writes. Short reads; faults are StoreFault. */
export interface LocalChain {
  /** Named by the first event; undefined before there is one. */
  stationId(): string | undefined;
  /** Place of the last event that is sealed, 0 for none. */
  end(): number;
  /** Hash of the event at a place, in hexadecimal. */
  hashAt(sequence: number): string | undefined;
  /** The last seal at or before a place, 0 for none. */
  sealedBefore(sequence: number): number;
  /** What follows a place; undefined when nothing sealed does. */
  pieceAfter(sequence: number, limits: PieceLimits): ChainPiece | undefined;
  /** True when another connection has committed since the last call. */
  hasChanged(): boolean;
}

export function createLocalChain(database: Database): LocalChain {
  const sql = {
    first: database.prepare<[], { body: string }>(
      "SELECT body FROM event WHERE stream = 'station' AND kind = 'keyIntroduced' ORDER BY version LIMIT 1",
    ),
    end: database.prepare<[], number>('SELECT coalesce(max(sequence), 0) FROM seal').pluck(),
    hash: database.prepare<[number], Uint8Array>('SELECT hash FROM event WHERE sequence = ?').pluck(),
    sizes: database.prepare<[number, number], { sequence: number; bytes: number }>(
      'SELECT sequence, length(body) AS bytes FROM event WHERE sequence > ? ORDER BY sequence LIMIT ?',
    ),
    sealBefore: database
      .prepare<[number], number>('SELECT coalesce(max(sequence), 0) FROM seal WHERE sequence <= ?')
      .pluck(),
    sealFrom: database
      .prepare<[number], number>('SELECT min(sequence) FROM seal WHERE sequence >= ?')
      .pluck(),
    events: database.prepare<[number, number]>(
      `SELECT ${eventColumns} FROM event WHERE sequence > ? AND sequence <= ? ORDER BY sequence`,
    ),
    seals: database.prepare<[number, number]>(
      'SELECT sequence, stream, key_id, signature, link FROM seal WHERE sequence > ? AND sequence <= ? ORDER BY sequence',
    ),
    document: database.prepare<[Uint8Array], string>('SELECT body FROM document WHERE hash = ?').pluck(),
    records: database
      .prepare<[number, number], string>(
        'SELECT body FROM record WHERE sequence > ? AND sequence <= ? ORDER BY sequence',
      )
      .pluck(),
  };
  let seen = -1;

  /** The last place of the next piece. */
  function endOfPiece(after: number, limits: PieceLimits): number | undefined {
    let size = 0;
    let last: number | undefined;
    for (const { sequence, bytes: length } of sql.sizes.all(after, limits.events)) {
      size += length;
      if (last !== undefined && size > limits.bytes) break;
      last = sequence;
    }
    if (last === undefined) return undefined;
    const sealed = sql.sealBefore.get(last) ?? 0;
    return sealed > after ? sealed : (sql.sealFrom.get(last) ?? undefined);
  }

  return {
    stationId: () =>
      withFaults(() => {
        const row = sql.first.get();
        const parsed = row && stationSchema.safeParse(jsonOf(row.body));
        return parsed?.success === true ? parsed.data.stationId : undefined;
      }),
    end: () => withFaults(() => sql.end.get() ?? 0),
    hashAt: (sequence) =>
      withFaults(() => {
        const hash = sql.hash.get(sequence);
        return hash === undefined ? undefined : hexOf(hash);
      }),
    sealedBefore: (sequence) => withFaults(() => sql.sealBefore.get(sequence) ?? 0),
    pieceAfter: (after, limits) =>
      withFaults(() => {
        const last = endOfPiece(after, limits);
        if (last === undefined) return undefined;
        const events = rowsOf(eventRowSchema, sql.events.all(after, last));
        const hashes = events
          .filter(({ kind, stream }) => kind === 'documentPut' && stream.startsWith('document/'))
          .map(({ stream }) => Buffer.from(stream.slice('document/'.length), 'hex'));
        return {
          events,
          seals: rowsOf(sealRowSchema, sql.seals.all(after, last)),
          documents: hashes.flatMap((hash) => sql.document.get(hash) ?? []),
          records: sql.records.all(after, last),
        };
      }),
    hasChanged() {
      const now = withFaults(() => Number(database.pragma('data_version', { simple: true })));
      const changed = now !== seen;
      seen = now;
      return changed;
    },
  };
}

const stationSchema = z.object({ stationId: z.string().min(1).max(200) });

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function rowsOf<Row>(schema: z.ZodType<Row>, rows: readonly unknown[]): Row[] {
  const parsed = z.array(schema).safeParse(rows);
  if (parsed.success) return parsed.data;
  throw new StoreFault('damaged', 'a row of the evidence was altered; run verify to see which', {
    cause: parsed.error,
  });
}
