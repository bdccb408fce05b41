import { type Finding, findingText } from '../../../shared/audit/finding.ts';
import type { ProblemKind } from '../../../shared/audit/problem-kind.ts';
import type { Database } from '../store/sqlite.ts';
import type { Problem } from './problem.ts';

/** Whose evidence it is, as far as it can be told. */
export interface Owner {
  readonly serial: string | null;
  readonly jobId: string | null;
  readonly stream: string | null;
}

export const nobody: Owner = { serial: null, jobId: null, stream: null };

/** Tells to which serial and job a place in the chain belongs, from whatever is left that says so. */
export interface Naming {
  /** Of a stream such as `job/<id>` or `record/<id>`. */
  ofStream(stream: string): Owner;
  /** Of a place in the chain whose event is missing or cannot be believed. */
  ofSequence(sequence: number): Owner;
}

export function createNaming(database: Database): Naming {
  const serialOfJob = database.prepare<[string], string>('SELECT serial FROM job WHERE job_id = ?').pluck();
  const firstBody = database
    .prepare<[string], string>('SELECT body FROM event WHERE stream = ? AND version = 1')
    .pluck();
  const jobAt = ['capture', 'job_end', 'consumption', 'record', 'job'].map((table) =>
    database.prepare<[number], string>(`SELECT job_id FROM ${table} WHERE sequence = ?`).pluck(),
  );
  // A covering index: answers even when the row of the table is gone or cannot be read.
  const streamAt = [
    'SELECT stream FROM event WHERE sequence = ?',
    'SELECT stream FROM seal WHERE sequence = ?',
    // A job's last event and the record that it brought are one append, sealed once behind the record.
    `SELECT seal.stream FROM seal JOIN event USING (sequence)
     WHERE seal.sequence = ? + 1 AND event.stream = 'record' || substr(seal.stream, 4)`,
  ].map((sql) => database.prepare<[number], string>(sql).pluck());

  function serialOf(jobId: string): string | null {
    const indexed = attempt(() => serialOfJob.get(jobId));
    if (indexed !== undefined) return indexed;
    const opening = attempt(() => JSON.parse(firstBody.get(`job/${jobId}`) ?? '{}'));
    return typeof opening?.serial === 'string' ? opening.serial : null;
  }

  function ofStream(stream: string): Owner {
    const jobId = /^(?:job|record)\/(.+)$/.exec(stream)?.[1] ?? null;
    return { stream, jobId, serial: jobId === null ? null : serialOf(jobId) };
  }

  return {
    ofStream,
    ofSequence(sequence) {
      for (const statement of jobAt) {
        const jobId = attempt(() => statement.get(sequence));
        if (jobId !== undefined) return ofStream(`job/${jobId}`);
      }
      for (const statement of streamAt) {
        const stream = attempt(() => statement.get(sequence));
        if (stream !== undefined) return ofStream(stream);
      }
      return nobody;
    },
  };
}

/** The value, or undefined when the damaged database does not give it. */
export function attempt<Value>(read: () => Value): Value | undefined {
  try {
    return read();
  } catch {
    return undefined;
  }
}

/** A problem with its sentence: `serial INV-0000001, job …: what`. */
export function problemOf(
  kind: ProblemKind,
  owner: Owner,
  sequence: number | null,
  finding: Finding,
): Problem {
  const { serial, jobId, stream } = owner;
  const names = [
    serial === null ? null : `serial ${serial}`,
    jobId === null ? (stream === null ? null : stream) : `job ${jobId}`,
  ].filter((name) => name !== null);
  return {
    kind,
    serial,
    jobId,
    sequence,
    stream,
    finding,
    sentence: [names.join(', '), findingText(finding)].filter(Boolean).join(': '),
  };
}
