import { z } from 'zod';
import { stationReplay } from '../audit/station-replay.ts';
import { serveTask } from '../audit/task.ts';
import { verifyFolder } from '../audit/verify-folder.ts';
import { writeBackup } from './backup.ts';

const inputSchema = z.object({
  folder: z.string(),
  target: z.string(),
  at: z.string(),
  keep: z.int().positive(),
});

function verify(folder: string) {
  const steps = verifyFolder({ folder, trustedKeys: [], replay: stationReplay, onProblem: () => undefined });
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}

await serveTask(async (input) => {
  const backup = await writeBackup({ ...inputSchema.parse(input), verify });
  return { next: () => ({ done: true, value: backup }) };
});
