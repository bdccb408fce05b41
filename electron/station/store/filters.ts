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

/** Which jobs. */
export interface JobFilter {
  readonly serial?: string | undefined;
  readonly headId?: string | undefined;
  readonly personId?: string | undefined;
  /** A captured reading of the job was made with this instrument, this certificate, or came out so. */
  readonly instrumentId?: string | undefined;
  readonly certificateHash?: string | undefined;
  readonly decision?: string | undefined;
  readonly lotId?: string | undefined;
  readonly from?: string | undefined;
  readonly until?: string | undefined;
}

export interface Condition {
  /** ` AND … AND …`, or nothing. */
  readonly where: string;
  readonly values: readonly string[];
}

const inLot = 'IN (SELECT job_id FROM consumption WHERE lot_id = ?)';

function conditionOf(parts: readonly (readonly [sql: string, value: string | undefined])[]): Condition {
  const given = parts.filter((part): part is readonly [string, string] => part[1] !== undefined);
  return {
    where: given.map(([sql]) => ` AND ${sql}`).join(''),
    values: given.map(([, value]) => value),
  };
}

export function captureCondition(filter: CaptureFilter): Condition {
  return conditionOf([
    ['serial = ?', filter.serial],
    ['head_id = ?', filter.headId],
    ['instrument_id = ?', filter.instrumentId],
    ['certificate_hash = ?', filter.certificateHash],
    ['person_id = ?', filter.personId],
    ['decision = ?', filter.decision],
    ['quantity = ?', filter.quantity],
    [`job_id ${inLot}`, filter.lotId],
    ['at >= ?', filter.from && utcOf(filter.from)],
    ['at < ?', filter.until && utcOf(filter.until)],
  ]);
}

export function jobCondition(filter: JobFilter): Condition {
  const captured = (column: string) => `job.job_id IN (SELECT job_id FROM capture WHERE ${column} = ?)`;
  return conditionOf([
    ['job.serial = ?', filter.serial],
    ['job.head_id = ?', filter.headId],
    ['job.person_id = ?', filter.personId],
    [captured('instrument_id'), filter.instrumentId],
    [captured('certificate_hash'), filter.certificateHash],
    [captured('decision'), filter.decision],
    [`job.job_id ${inLot}`, filter.lotId],
    ['job.opened_at >= ?', filter.from && utcOf(filter.from)],
    ['job.opened_at < ?', filter.until && utcOf(filter.until)],
  ]);
}
