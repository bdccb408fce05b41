import { z } from 'zod';
import { localizedTextSchema } from './localized-text.ts';

export const hazards = [
  'heat',
  'fumes',
  'flammable residue',
  'compressed air',
  'mains power',
  'solvent',
  'stored energy',
  'flying parts',
  'sharp edges',
  'skin contact',
] as const;
export const hazardSchema = z.enum(hazards);
export type Hazard = z.infer<typeof hazardSchema>;

/** What can hurt at a step, and how to keep from it. */
export const cautionSchema = z.strictObject({ hazard: hazardSchema, text: localizedTextSchema });
export type Caution = z.infer<typeof cautionSchema>;
