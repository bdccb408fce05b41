import { z } from 'zod';
import { hashSchema } from '../../../shared/identifier.ts';
import { sha256 } from './sha256.ts';

const introductionSchema = z.object({
  algorithm: z.literal('Ed25519'),
  keyId: hashSchema,
  /** SubjectPublicKeyInfo (DER), base64. */
  publicKey: z.base64(),
  /** The key that signed before, when this one takes over. */
  replaces: hashSchema.optional(),
});
export type KeyIntroduction = z.infer<typeof introductionSchema>;

/** The key that a `keyIntroduced` event brings, or undefined when its id is not that of the key. */
export function keyIntroductionOf(body: unknown): KeyIntroduction | undefined {
  const parsed = introductionSchema.safeParse(body);
  if (!parsed.success) return undefined;
  const bytes = Buffer.from(parsed.data.publicKey, 'base64');
  return sha256(bytes) === parsed.data.keyId ? parsed.data : undefined;
}
