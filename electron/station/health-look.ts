import type { HidLack } from '../../drivers/port/hid-devices.ts';
import type { ListedPort } from '../../drivers/port/port-list.ts';
import { type HealthView, healthViewSchema } from '../../shared/health-view.ts';
import { runTask } from './audit/task.ts';
import type { HealthReport } from './health.ts';

/**
 * Looks as `doctor` does, for a screen, in a worker thread: the quick check reads the whole database.
 *
 * @param ports listed by whoever asks, as `lack` is: the libraries of the ports stay in one thread
 */
export async function lookAtHealth(
  dataFolder: string,
  at: string,
  ports: readonly ListedPort[],
  lack: HidLack | null,
): Promise<HealthView> {
  const module = new URL('./health-worker.ts', import.meta.url);
  return healthViewSchema.parse(await runTask({ module, input: { dataFolder, at, ports, lack } }));
}

/** What a screen may know of a report: no sentence, no details, no folder. */
export function healthView({ at, findings }: HealthReport): HealthView {
  return healthViewSchema.parse({
    at,
    findings: findings.map(({ subject, code, verdict, values }) => ({ subject, code, verdict, values })),
  });
}
