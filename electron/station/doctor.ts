import { createSystemClock } from '../../drivers/port/clock.ts';
import { createSystemPortLister } from '../../drivers/port/system-ports.ts';
import { examine, type HealthReport } from './health.ts';
import { healthChecks } from './health-checks.ts';

/** Looks at a data folder and this computer. */
export function examineDataFolder(dataFolder: string): Promise<HealthReport> {
  const at = createSystemClock().wallTime();
  return examine(at, dataFolder, healthChecks({ dataFolder, at, listPorts: createSystemPortLister() }));
}
