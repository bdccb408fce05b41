import { z } from 'zod';
import { personNameSchema } from './people/person.ts';
import type { HidLackView } from './teach-view.ts';

/** What a data folder that holds nothing yet becomes. */
export const setUpSchema = z.discriminatedUnion('kind', [
  /** The invented demo workshop on simulated instruments. */
  z.strictObject({ kind: z.literal('demo') }),
  /** A real workshop with its first administrator. */
  z.strictObject({
    kind: z.literal('workshop'),
    workshop: personNameSchema,
    administrator: personNameSchema,
    pin: z.string().max(20),
  }),
]);
export type SetUp = z.infer<typeof setUpSchema>;

/** What the screen of a first run shows: nothing is on the disk yet. */
export interface FirstRunView {
  readonly demoFolder: string;
  readonly workshopFolder: string;
  /** What is plugged in, so that a person sees whether the cables are found. */
  readonly ports: readonly { readonly path: string; readonly name: string }[];
  /** Why no HID scale is among them; null where they are looked for. */
  readonly hidLack: HidLackView | null;
}
