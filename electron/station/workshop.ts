import { z } from 'zod';
import type { Clock } from '../../drivers/port/clock.ts';
import type { Store, StreamAppend } from './store/store.ts';

const workshopEventSchema = z.strictObject({
  kind: z.literal('workshopNamed'),
  at: z.string(),
  name: z.string().trim().min(1).max(200),
  /** True for a bench of simulated instruments; its records say so for ever. */
  simulated: z.boolean(),
});

export interface Workshop {
  readonly name: string;
  readonly simulated: boolean;
}

/** The workshop that a data folder belongs to, or null before its first set-up. */
export function readWorkshop(store: Pick<Store, 'readStream'>): Workshop | null {
  const last = store.readStream('workshop').at(-1);
  if (last === undefined) return null;
  const { name, simulated } = workshopEventSchema.parse(last.body);
  return { name, simulated };
}

/** Names the workshop of a fresh data folder. */
export function nameWorkshop(store: Store, clock: Clock, workshop: Workshop): void {
  store.append({ ...workshopNaming(store, clock, workshop), personId: null });
}

/** What names the workshop, to be appended together with its first people. */
export function workshopNaming(
  store: Pick<Store, 'versionOf'>,
  clock: Clock,
  workshop: Workshop,
): StreamAppend {
  const event = { kind: 'workshopNamed', at: clock.wallTime(), ...workshop };
  return {
    stream: 'workshop',
    expectedVersion: store.versionOf('workshop'),
    events: [{ kind: event.kind, body: workshopEventSchema.parse(event) }],
  };
}
