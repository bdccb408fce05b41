import type { JsonObject } from '../../shared/evidence/canonical-json.ts';
import type { HealthCode, HealthValues } from '../../shared/health-view.ts';

/** What one look found: `good`, `note` (no harm, but worth knowing) or `bad` (somebody has to act). */
export interface HealthFinding {
  readonly subject: string;
  readonly verdict: 'good' | 'note' | 'bad';
  /** Which outcome of the look it is; with `values` a screen words it in its own language. */
  readonly code: HealthCode;
  readonly values: HealthValues;
  /** For people: what was found and, where it is bad, what to do. */
  readonly sentence: string;
  /** The same for programs. */
  readonly details: JsonObject;
}

export interface HealthReport {
  /** When it was looked, ISO 8601 with offset. */
  readonly at: string;
  readonly dataFolder: string;
  /** True when nothing is bad. */
  readonly healthy: boolean;
  readonly findings: readonly HealthFinding[];
}

/** One look at one thing. */
export type HealthCheck = () => HealthFinding | Promise<HealthFinding>;

/** Looks at everything in turn. A look that fails by itself is a finding too. */
export async function examine(
  at: string,
  dataFolder: string,
  checks: Readonly<Record<string, HealthCheck>>,
): Promise<HealthReport> {
  const findings: HealthFinding[] = [];
  for (const [subject, check] of Object.entries(checks)) {
    try {
      findings.push(await check());
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      findings.push({
        ...{ subject, verdict: 'bad', code: 'failed', values: {}, details: {} },
        sentence: `could not be looked at: ${reason}`,
      });
    }
  }
  return { at, dataFolder, healthy: findings.every(({ verdict }) => verdict !== 'bad'), findings };
}

const marks = { good: '✓ good', note: '· note', bad: '✗ BAD ' } as const;

/** A report as lines of text. */
export function describeHealth({ findings, at, dataFolder }: HealthReport): string {
  const width = Math.max(...findings.map(({ subject }) => subject.length));
  return [
    `${dataFolder}, ${at}`,
    ...findings.map(
      ({ subject, verdict, sentence }) => `${marks[verdict]}  ${subject.padEnd(width)}  ${sentence}`,
    ),
  ].join('\n');
}
