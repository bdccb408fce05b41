import { foldInstrument, instrumentEventSchema } from '../../../shared/instrument/instrument.ts';
import { foldPerson } from '../../../shared/people/fold.ts';
import { personEventSchema } from '../../../shared/people/person.ts';
import { foldSheet, sheetEventSchema } from '../../../shared/sheet/revision.ts';
import type { PublicationContent } from '../../../shared/site/publication.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { BadInput, badInput, type CommandInput, type ExitCode } from './command.ts';
import { onEvidence, openEvidenceFor } from './evidence-input.ts';
import { neededOption, withSite } from './site-input.ts';

/** Makes the key of a site. */
export async function siteKey(input: CommandInput): Promise<ExitCode> {
  const file = neededOption(input, 'out', 'a new file for the private key');
  const { createSiteKey } = await import('../site/site-key.ts');
  const key = createSiteKey(file);
  if (!key.ok) throw badInput({ ...key.error, field: '--out' });
  const { keyId } = key.value;
  await input.print(
    input.json
      ? JSON.stringify({ keyId, privateKey: file, publicKey: `${file}.public` })
      : `key ${keyId}\n${file}: keep it where it is published from, and a copy in a safe\n${file}.public: for "site join --site-key" at every bench`,
  );
  return 0;
}

/** Publishes what this data folder has of a subject. */
export const publishSubject = onEvidence(async (input): Promise<ExitCode> => {
  const [, kind, id, ...more] = input.positionals;
  if (kind === undefined || id === undefined || more.length > 0)
    throw new BadInput('site publish: give sheet ID, person ID or certificate INSTRUMENT-ID');
  const { readPrivateSiteKey } = await import('../site/site-key.ts');
  const key = readPrivateSiteKey(neededOption(input, 'key', 'the private key of the site'));
  if (!key.ok) throw badInput({ ...key.error, field: '--key' });
  const evidence = await openEvidenceFor(input.dataFolder);
  let content: PublicationContent;
  try {
    content = contentOf(evidence, kind, id);
  } finally {
    evidence.close();
  }
  const { publish } = await import('../site/publish.ts');
  const done = await withSite(input, (client) => publish(client, key.value, content));
  await input.print(
    input.json
      ? JSON.stringify(done)
      : `published as number ${done.number}: ${kind} ${id}, revision ${done.revision} at the site`,
  );
  return 0;
});

function contentOf(evidence: EvidenceReader, kind: string, id: string): PublicationContent {
  switch (kind) {
    case 'sheet':
      return sheetContent(evidence, id);
    case 'person':
      return personContent(evidence, id);
    case 'certificate':
      return certificateContent(evidence, id);
    default:
      throw new BadInput(`site publish: "${kind}" is none; sheet, person or certificate`);
  }
}

/** The newest revision that was ever approved. */
function sheetContent(evidence: EvidenceReader, id: string): PublicationContent {
  const state = evidence
    .readStream(`sheet/${id}`)
    .map(({ body }) => sheetEventSchema.parse(body))
    .reduce<ReturnType<typeof foldSheet> | undefined>(foldSheet, undefined);
  const revision = state?.revisions.findLast(({ approvedBy }) => approvedBy !== null);
  if (revision === undefined || revision.approvedBy === null || revision.approvedAt === null)
    throw new BadInput(`sheet ${id}: has no approved revision here; approve it first`);
  const { sheet, authors, approvedBy, approvedAt, status, reason } = revision;
  return {
    ...{ kind: 'sheet', sheet, author: authors[0] ?? approvedBy, approvedBy, approvedAt },
    withdrawn: status === 'withdrawn' ? (reason ?? 'withdrawn') : null,
  };
}

function personContent(evidence: EvidenceReader, id: string): PublicationContent {
  const state = evidence
    .readStream(`person/${id}`)
    .map(({ body }) => personEventSchema.parse(body))
    .reduce<ReturnType<typeof foldPerson> | undefined>(foldPerson, undefined);
  if (state === undefined) throw new BadInput(`person ${id}: is nobody here`);
  const { personId, name, roles, badge, pin, active, invented } = state;
  return { kind: 'person', personId, name, roles: [...roles], badge, pin, active, invented };
}

/** The newest certificate. */
function certificateContent(evidence: EvidenceReader, id: string): PublicationContent {
  const state = evidence
    .readStream(`instrument/${id}`)
    .map(({ body }) => instrumentEventSchema.parse(body))
    .reduce<ReturnType<typeof foldInstrument> | undefined>(foldInstrument, undefined);
  const certificate = state?.certificates.at(-1)?.certificate;
  if (certificate === undefined) throw new BadInput(`certificate ${id}: this instrument has none here`);
  return { kind: 'certificate', instrumentId: id, certificate };
}
