import { z } from 'zod';
import { stationReplay } from './station-replay.ts';
import { serveTask } from './task.ts';
import { verifyFolder } from './verify-folder.ts';

const inputSchema = z.object({
  folder: z.string(),
  trustedKeys: z.array(z.string()),
  stages: z.literal('chain').optional(),
});

await serveTask((input, tell) =>
  verifyFolder({ ...inputSchema.parse(input), replay: stationReplay, onProblem: tell }),
);
