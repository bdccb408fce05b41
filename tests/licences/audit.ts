// `npm run audit`: known holes of the packages in the product, where the registry answers that question.
import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';
import { z } from 'zod';

const reportSchema = z.object({
  vulnerabilities: z.record(
    z.string(),
    z.object({ severity: z.string(), range: z.string(), isDirect: z.boolean() }),
  ),
});

/** What came of the question: the holes as lines, or why nobody answered. */
export type AuditOutcome =
  | { readonly kind: 'answered'; readonly holes: readonly string[] }
  | { readonly kind: 'unanswered'; readonly why: string };

/** Reads what `npm audit --json` printed. */
export function readAudit(output: string): AuditOutcome {
  try {
    const json: unknown = JSON.parse(output);
    const report = reportSchema.safeParse(json);
    if (report.success) {
      const holes = Object.entries(report.data.vulnerabilities).map(
        ([name, { severity, range, isDirect }]) =>
          `${severity}: ${name} ${range}${isDirect ? '' : ' (brought along by another package)'}`,
      );
      return { kind: 'answered', holes };
    }
    const said = z.object({ message: z.string() }).safeParse(json);
    return { kind: 'unanswered', why: said.success ? said.data.message : 'npm printed no report' };
  } catch {
    return { kind: 'unanswered', why: 'npm printed no JSON' };
  }
}

if (import.meta.main) {
  const asked = spawnSync('npm', ['audit', '--omit=dev', '--json', '--fetch-retries=0'], {
    cwd: resolve(import.meta.dirname, '..', '..'),
    encoding: 'utf8',
    timeout: 60_000,
    shell: process.platform === 'win32',
  });
  const outcome = readAudit(asked.stdout ?? '');
  if (outcome.kind === 'unanswered') {
    process.stdout.write(`not audited: the registry does not answer (${outcome.why})\n`);
  } else {
    for (const hole of outcome.holes) process.stdout.write(`${hole}\n`);
    process.stdout.write(`${outcome.holes.length} packages of the product with known holes\n`);
    process.exitCode = outcome.holes.length === 0 ? 0 : 1;
  }
}
