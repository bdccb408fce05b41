import { utcOf } from '../../../shared/evidence/evidence-rules.ts';

/** Which captured readings; every field that is given must agree. Instants are ISO 8601 with offset, `until` is not included. */
export interface CaptureFilter {
  readonly serial?: string | undefined;
  readonly headId?: string | undefined;
  readonly instrumentId?: string | undefined;
  readonly certificateHash?: string | undefined;
  readonly personId?: string | undefined;
  readonly decision?: string | undefined;
  readonly quantity?: string | undefined;
  /** Lot that was used in the job. */
  readonly lotId?: string | undefined;
  readonly from?: string | undefined;
  readonly until?: string | undefined;
}

/**
 * Which jobs: one and the same reading of the job meets all that is asked of readings (instrument, certificate,
 * decision, quantity); the person opened the job or took a reading in it; it was opened in that time.
 */
export type JobFilter = CaptureFilter;

export interface Condition {
  readonly sql: string;
  readonly values: readonly string[];
}

/** ` AND … AND …`, or nothing. */
export function joined(conditions: readonly Condition[]): {
  readonly where: string;
  readonly values: string[];
} {
  return {
    where: conditions.map(({ sql }) => ` AND ${sql}`).join(''),
    values: conditions.flatMap(({ values }) => values),
  };
}

/** `+` before a column keeps its index out of the plan: one index drives, the rest is looked at row by row. */
function test(column: string, comparison: string, value: string | undefined, drives: boolean): Condition[] {
  if (value === undefined) return [];
  return [{ sql: `${drives ? '' : '+'}${column} ${comparison} ?`, values: [value] }];
}

/** The indexes of captures whose rows come in the order of the chain, the one that leaves least first. */
const captureDrivers = [
  ['serial', 'serial'],
  ['certificateHash', 'certificate_hash'],
  ['personId', 'person_id'],
  ['instrumentId', 'instrument_id'],
  ['decision', 'decision'],
] as const;

/** What is asked of captures, so that one index gives them in the order of the chain and nothing is sorted. */
export function captureCondition(filter: CaptureFilter): {
  readonly where: string;
  readonly values: string[];
} {
  const { headId, quantity, lotId, from, until } = filter;
  // The index by head begins with head and quantity: it is in order only where both are given.
  const isByHead =
    filter.serial === undefined && lotId === undefined && headId !== undefined && quantity !== undefined;
  // The jobs of one lot are few.
  const isByLot = filter.serial === undefined && lotId !== undefined;
  const driver =
    isByHead || isByLot ? undefined : captureDrivers.find(([field]) => filter[field] !== undefined)?.[0];
  return joined([
    ...captureDrivers.flatMap(([field, column]) =>
      test(`capture.${column}`, '=', filter[field], field === driver),
    ),
    ...test('capture.head_id', '=', headId, isByHead),
    ...test('capture.quantity', '=', quantity, isByHead),
    ...(lotId === undefined
      ? []
      : [{ sql: 'capture.job_id IN (SELECT job_id FROM consumption WHERE lot_id = ?)', values: [lotId] }]),
    ...test('capture.at', '>=', from && utcOf(from), false),
    ...test('capture.at', '<', until && utcOf(until), false),
  ]);
}

/** What is asked of jobs, to be walked in the order of the chain. */
export function jobCondition(filter: JobFilter): { readonly where: string; readonly values: string[] } {
  const driver = filter.serial === undefined ? 'head_id' : 'serial';
  return joined([...jobConditions(filter, driver), ...usesLot(filter), ...hasReading(filter)]);
}

/** What is asked of the job itself. */
export function jobConditions(
  { serial, headId, personId, from, until }: JobFilter,
  driver: 'serial' | 'head_id' | null,
): Condition[] {
  const person: Condition[] =
    personId === undefined
      ? []
      : [
          {
            sql: '(job.person_id = ? OR EXISTS (SELECT 1 FROM capture AS own WHERE own.job_id = job.job_id AND +own.person_id = ?))',
            values: [personId, personId],
          },
        ];
  return [
    ...test('job.serial', '=', serial, driver === 'serial'),
    ...test('job.head_id', '=', headId, driver === 'head_id'),
    ...person,
    ...test('job.opened_at', '>=', from && utcOf(from), false),
    ...test('job.opened_at', '<', until && utcOf(until), false),
  ];
}

/** What is asked of one and the same reading. */
export function readingConditions(name: string, filter: JobFilter, driver: string | null): Condition[] {
  const { instrumentId, certificateHash, decision, quantity } = filter;
  const own = (column: string, value: string | undefined) =>
    test(`${name}.${column}`, '=', value, column === driver);
  return [
    ...own('instrument_id', instrumentId),
    ...own('certificate_hash', certificateHash),
    ...own('decision', decision),
    ...own('quantity', quantity),
  ];
}

/** The job has a reading that meets all that is asked of readings. */
export function hasReading(filter: JobFilter): Condition[] {
  const asked = readingConditions('asked', filter, null);
  if (asked.length === 0) return [];
  const { where, values } = joined(asked);
  return [{ sql: `EXISTS (SELECT 1 FROM capture AS asked WHERE asked.job_id = job.job_id${where})`, values }];
}

/** The job used the lot. */
export function usesLot({ lotId }: JobFilter): Condition[] {
  if (lotId === undefined) return [];
  return [
    {
      sql: 'EXISTS (SELECT 1 FROM consumption AS used WHERE used.job_id = job.job_id AND +used.lot_id = ?)',
      values: [lotId],
    },
  ];
}
