import { z } from 'zod';
import { identifierSchema, instantSchema } from '../identifier.ts';
import { type Role, roleSchema } from './role.ts';

const envelope = { personId: identifierSchema, at: instantSchema, byPersonId: identifierSchema };
/** As it stands in records and on screens. */
export const personNameSchema = z.string().trim().min(1).max(100);
/** What a badge types when scanned. */
export const badgeSchema = z.string().regex(/^[\x21-\x7e]{4,80}$/, 'must be 4 to 80 printable characters');

/** scrypt parameters as in RFC 7914: cost N, block size r, parallelization p. */
export const pinHashSchema = z.strictObject({
  hashBase64: z.base64().min(1),
  saltBase64: z.base64().min(1),
  parameters: z.strictObject({
    cost: z.int().min(2),
    blockSize: z.int().min(1),
    parallelization: z.int().min(1),
  }),
});
export type PinHash = z.infer<typeof pinHashSchema>;

function event<Kind extends string, Shape extends z.core.$ZodLooseShape>(kind: Kind, shape: Shape) {
  return z.strictObject({ kind: z.literal(kind), ...envelope, ...shape });
}

/** Everything that can have happened to a person's account. `byPersonId` is who did it. */
export const personEventSchema = z.discriminatedUnion('kind', [
  event('personAdded', { name: personNameSchema, roles: z.array(roleSchema).min(1), invented: z.boolean() }),
  event('pinSet', pinHashSchema.shape),
  event('badgeSet', { badge: badgeSchema.nullable() }),
  event('rolesSet', { roles: z.array(roleSchema) }),
  event('personDeactivated', { reason: z.string().trim().min(1).max(2000) }),
]);
export type PersonEvent = z.infer<typeof personEventSchema>;

/** A person who answers for what is done under the name. */
export interface Person {
  readonly personId: string;
  readonly name: string;
  readonly roles: readonly Role[];
  readonly badge: string | null;
  readonly pin: PinHash | null;
  readonly active: boolean;
  readonly invented: boolean;
  readonly version: number;
}
