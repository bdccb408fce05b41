import { z } from 'zod';

/** PostgreSQL's bigint comes as a text, or within JSON as a number. */
export const bigintColumn = z.union([
  z.int(),
  z
    .string()
    .regex(/^\d{1,15}$/)
    .transform(Number),
]);
