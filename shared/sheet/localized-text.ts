import { z } from 'zod';

/** A text shown to people, in every language of the screens. */
export const localizedTextSchema = z.strictObject({
  en: z.string().trim().min(1).max(2000),
  de: z.string().trim().min(1).max(2000),
});
export type LocalizedText = z.infer<typeof localizedTextSchema>;
