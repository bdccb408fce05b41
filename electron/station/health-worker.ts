import { z } from 'zod';
import type { HidLack } from '../../drivers/port/hid-devices.ts';
import type { ListedPort } from '../../drivers/port/port-list.ts';
import { serveTask } from './audit/task.ts';
import { examine } from './health.ts';
import { healthChecks } from './health-checks.ts';
import { healthView } from './health-look.ts';

const inputSchema = z.object({
  dataFolder: z.string(),
  at: z.string(),
  ports: z.array(z.unknown()),
  lack: z.unknown(),
});

await serveTask(async (input) => {
  const { dataFolder, at, ports, lack } = inputSchema.parse(input);
  const listPorts = async () => ports as ListedPort[];
  const hidLack = async () => lack as HidLack | null;
  const view = healthView(
    await examine(at, dataFolder, healthChecks({ dataFolder, at, listPorts, hidLack })),
  );
  return { next: () => ({ done: true, value: view }) };
});
