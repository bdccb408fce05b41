import { z } from 'zod';
import type { ChainState } from './pieces.ts';
import { counterSchema, shareOf } from './shared-work.ts';
import { stationReplay } from './station-replay.ts';
import { serveTask } from './task.ts';
import { verifyPieces } from './verify-folder.ts';

const inputSchema = z.object({
  folder: z.string(),
  /** From the thread that walked the chain. */
  state: z.custom<ChainState>((value) => typeof value === 'object' && value !== null),
  counter: counterSchema,
});

await serveTask((input, tell) => {
  const { counter, ...rest } = inputSchema.parse(input);
  return verifyPieces({ ...rest, replay: stationReplay, ...shareOf(counter, tell) });
});
