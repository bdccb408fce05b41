import { z } from 'zod';
import { certificateSchema } from '../calibration/certificate.ts';
import { canonicalJson } from '../evidence/canonical-json.ts';
import type { HashText } from '../evidence/chain.ts';
import { hashSchema, identifierSchema, instantSchema, spokenTextSchema } from '../identifier.ts';
import { badgeSchema, personNameSchema, pinHashSchema } from '../people/person.ts';
import { roleSchema } from '../people/role.ts';
import { serviceSheetSchema } from '../sheet/sheet.ts';

/** What a site publishes: the newest state of one subject. */
export const publicationContentSchema = z.discriminatedUnion('kind', [
  /** A revision that was approved; `withdrawn` says why it is in force no more. */
  z.strictObject({
    kind: z.literal('sheet'),
    sheet: serviceSheetSchema,
    author: identifierSchema,
    approvedBy: identifierSchema,
    approvedAt: instantSchema,
    withdrawn: spokenTextSchema.nullable(),
  }),
  z.strictObject({
    kind: z.literal('person'),
    personId: identifierSchema,
    name: personNameSchema,
    roles: z.array(roleSchema),
    badge: badgeSchema.nullable(),
    pin: pinHashSchema.nullable(),
    active: z.boolean(),
    invented: z.boolean(),
  }),
  z.strictObject({
    kind: z.literal('certificate'),
    instrumentId: identifierSchema,
    certificate: certificateSchema,
  }),
]);
export type PublicationContent = z.infer<typeof publicationContentSchema>;
export type PublicationKind = PublicationContent['kind'];

/** One publication: they are numbered 1, 2, 3 … without gaps, each names the one before it, and each is signed. */
export const publicationSchema = z.strictObject({
  number: z.int().positive(),
  /** `publicationHash` of the one before, or 64 zeros. */
  previousHash: hashSchema,
  /** Of this subject: 1, 2, 3 … without gaps. */
  revision: z.int().positive(),
  content: publicationContentSchema,
  keyId: hashSchema,
  /** Ed25519 (RFC 8032) over `publicationText`, base64. */
  signature: z.base64(),
});
export type Publication = z.infer<typeof publicationSchema>;

/** What the first publication names as the one before it. */
export const firstPublicationLink = '0'.repeat(64);

/** Whom or what a publication is about, unique within its kind. */
export function subjectOf(content: PublicationContent): string {
  switch (content.kind) {
    case 'sheet':
      return content.sheet.sheetId;
    case 'person':
      return content.personId;
    case 'certificate':
      return content.instrumentId;
  }
}

/** The text that the site's key signs. */
export function publicationText(
  { number, previousHash, revision, content }: Omit<Publication, 'keyId' | 'signature'>,
  hash: HashText,
): string {
  const { kind } = content;
  const contentHash = hash(canonicalJson(content));
  const format = 'bandwright site publication 1';
  return canonicalJson({
    contentHash,
    format,
    kind,
    number,
    previousHash,
    revision,
    subjectId: subjectOf(content),
  });
}

/** What the next publication names as the one before it. */
export function publicationHash(
  publication: Omit<Publication, 'keyId' | 'signature'>,
  hash: HashText,
): string {
  return hash(publicationText(publication, hash));
}
