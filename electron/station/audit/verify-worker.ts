import { z } from 'zod';
import { counterSchema, shareOf } from './shared-work.ts';
import { stationReplay } from './station-replay.ts';
import { serveTask } from './task.ts';
import { verifyFolder } from './verify-folder.ts';

const inputSchema = z.object({
  folder: z.string(),
  trustedKeys: z.array(z.string()),
  stages: z.literal('chain').optional(),
  counter: counterSchema,
});

await serveTask((input, tell) => {
  const { counter, ...rest } = inputSchema.parse(input);
  return verifyFolder({ ...rest, replay: stationReplay, ...shareOf(counter, tell) });
});
