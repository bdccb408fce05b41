import { z } from 'zod';
import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import {
  type PublicationContent,
  publicationContentSchema,
  publicationText,
  subjectOf,
} from '../../../shared/site/publication.ts';
import type { SigningKey } from '../signing-key.ts';
import { sha256 } from '../store/sha256.ts';
import type { SiteClient } from './site-client.ts';
import { SiteFault, withSiteFaults } from './site-fault.ts';

const lastSchema = z.object({
  number: z.string().transform(Number),
  hash: z.instanceof(Uint8Array).transform((hash) => Buffer.from(hash).toString('hex')),
  revision: z.int(),
});

/**
 * Signs and publishes the next revision of a subject for every bench.
 *
 * @returns its number among all publications, and its revision
 * @throws SiteFault; `site_failed` when another one was published in the same moment: nothing is published, try again
 */
export async function publish(
  client: SiteClient,
  key: SigningKey,
  content: PublicationContent,
): Promise<{ readonly number: number; readonly revision: number }> {
  const valid = publicationContentSchema.parse(content);
  const { kind } = valid;
  const subject = subjectOf(valid);
  const { rows } = await withSiteFaults(() =>
    client.query('SELECT * FROM bandwright.last_published($1, $2)', [kind, subject]),
  );
  const last = lastSchema.safeParse(rows[0]);
  if (!last.success)
    throw new SiteFault('other_schema', 'the site store answers in words that this program does not know');
  const publication = {
    number: last.data.number + 1,
    previousHash: last.data.hash,
    revision: last.data.revision + 1,
    content: valid,
  };
  const signature = key.sign(publicationText(publication, sha256));
  await withSiteFaults(() =>
    client.query('SELECT bandwright.publish($1, $2, $3, $4, $5, $6, $7, $8)', [
      publication.number,
      Buffer.from(publication.previousHash, 'hex'),
      ...[kind, subject, publication.revision, canonicalJson(valid), key.keyId],
      Buffer.from(signature),
    ]),
  );
  return { number: publication.number, revision: publication.revision };
}
