import { z } from 'zod';
import { lotCommandSchema } from './consumable/decide-lot.ts';
import { instrumentCommandSchema } from './instrument/decide-instrument.ts';
import { personCommandSchema } from './people/decide-person.ts';
import { sheetCommandSchema } from './sheet/decide-sheet.ts';

/** What leads and administrators (and, for their own PIN, checks and lots, others) may ask besides jobs. */
export const managementCommandSchema = z.discriminatedUnion('kind', [
  personCommandSchema,
  instrumentCommandSchema,
  lotCommandSchema,
  sheetCommandSchema,
]);
/** As the station takes it; defaults filled in, units in their canonical spelling. */
export type ManagementCommand = z.output<typeof managementCommandSchema>;
/** As a screen or a file may write it. */
export type ManagementCommandInput = z.input<typeof managementCommandSchema>;
export type ManagementCommandKind = ManagementCommand['kind'];
