import { finding } from '../../../shared/audit/finding.ts';
import { attempt, nobody } from './naming.ts';
import type { Verification } from './verification.ts';

/** Each stream counts 1, 2, 3 … without gaps; a gap names the stream whose event is missing. */
export function checkVersions({ database, naming, report, upper, suspect, incomplete }: Verification): void {
  const gaps = database.prepare<[number], { stream: string; count: number; last: number; sequence: number }>(
    `SELECT stream, count(*) AS "count", max(version) AS "last", max(sequence) AS "sequence" FROM event
     WHERE sequence <= ? GROUP BY stream HAVING count(*) <> max(version) LIMIT 1000`,
  );
  const versions = database
    .prepare<[string], number>('SELECT version FROM event WHERE stream = ? ORDER BY version')
    .pluck();
  try {
    for (const { stream, count, last, sequence } of gaps.all(upper)) {
      // Rows that were altered speak of streams that never were; they are reported where they stand.
      if (suspect.has(sequence) || incomplete.has(stream)) continue;
      const found = new Set(attempt(() => versions.all(stream)) ?? []);
      const missing = Array.from({ length: Math.min(last, 10_000) }, (_, index) => index + 1).filter(
        (version) => !found.has(version),
      );
      const numbers = missing.length > 5 ? `${missing.slice(0, 5).join(', ')} …` : missing.join(', ');
      report(
        'removed',
        naming.ofStream(stream),
        sequence,
        finding('streamIncomplete', { count: last - count, total: last, numbers }),
      );
    }
  } catch {
    report('database', nobody, null, finding('streamsUncountable', {}));
  }
}
