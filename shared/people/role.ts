import { z } from 'zod';

export const roles = ['technician', 'lead', 'auditor', 'administrator'] as const;
export const roleSchema = z.enum(roles);
/** What a person answers for. A person may have several roles. */
export type Role = z.infer<typeof roleSchema>;

/** Who does something, as far as `decide` must know. */
export interface Actor {
  readonly personId: string;
  readonly roles: readonly Role[];
}
