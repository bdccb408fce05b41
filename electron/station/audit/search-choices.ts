import { z } from 'zod';
import type { SearchChoicesView } from '../../../shared/audit/view.ts';
import { personEventSchema } from '../../../shared/people/person.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { Database } from '../store/sqlite.ts';

const most = 300;
const certificateSchema = z.object({ number: z.string() });
const registeredSchema = z.object({ entry: z.object({ name: z.string() }) });

/** What stands in the index and the register and so can be asked for. */
export function searchChoices(database: Database, reader: EvidenceReader): SearchChoicesView {
  const names = new Map<string, string>();
  for (const { stream, kind, body } of reader.readStreams('instrument/')) {
    const registered = kind === 'instrumentRegistered' ? registeredSchema.safeParse(body) : undefined;
    if (registered?.success === true)
      names.set(stream.slice('instrument/'.length), registered.data.entry.name);
  }
  const instruments = [...new Set([...names.keys(), ...distinct(database, 'capture', 'instrument_id')])];
  return {
    heads: distinct(database, 'job', 'head_id'),
    people: reader
      .readStreams('person/')
      .map(({ body }) => personEventSchema.parse(body))
      .flatMap((event) =>
        event.kind === 'personAdded' ? [{ personId: event.personId, name: event.name }] : [],
      ),
    instruments: instruments.map((instrumentId) => ({
      instrumentId,
      name: names.get(instrumentId) ?? instrumentId,
    })),
    lots: distinct(database, 'consumption', 'lot_id'),
    certificates: reader.documentsOfKind('certificate').flatMap(({ hash, body }) => {
      const named = certificateSchema.safeParse(body);
      return named.success ? [{ hash, number: named.data.number }] : [];
    }),
  };
}

/** Values of an indexed column, by jumping from one to the next: `SELECT DISTINCT` would read the whole index. */
function distinct(database: Database, table: string, column: string): string[] {
  return database
    .prepare<[number], string>(
      `WITH RECURSIVE one(value) AS (
         SELECT min(${column}) FROM ${table}
         UNION ALL
         SELECT (SELECT min(${column}) FROM ${table} WHERE ${column} > one.value) FROM one WHERE one.value IS NOT NULL
       ) SELECT value FROM one WHERE value IS NOT NULL LIMIT ?`,
    )
    .pluck()
    .all(most);
}
