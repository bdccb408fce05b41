import type { AuditFilter } from '../../../shared/audit/filter.ts';
import { hashSchema } from '../../../shared/identifier.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { CaptureFilter } from '../store/filters.ts';
import { beginOf, endOf } from './day-range.ts';

/**
 * The filter of a screen as the index understands it: days as instants, the number of a certificate as its hash.
 * Refuses the number of a certificate that is not here, or that several have.
 */
export function evidenceFilter(
  reader: Pick<EvidenceReader, 'documentsOfKind'>,
  { certificate, from, until, ...filter }: AuditFilter,
): Result<CaptureFilter> {
  const certificateHash = certificate === undefined ? ok(undefined) : hashOf(reader, certificate);
  if (!certificateHash.ok) return certificateHash;
  return ok({
    ...filter,
    certificateHash: certificateHash.value,
    from: beginOf(from),
    until: endOf(until),
  });
}

function hashOf(reader: Pick<EvidenceReader, 'documentsOfKind'>, certificate: string): Result<string> {
  if (hashSchema.safeParse(certificate).success) return ok(certificate);
  const found = reader.documentsOfKind('certificate').filter(({ body }) => body.number === certificate);
  return onlyCertificate(
    certificate,
    found.map(({ hash }) => hash),
  );
}

/** The one hash among those of the certificates with that number. Refuses none, and several. */
export function onlyCertificate(number: string, hashes: readonly string[]): Result<string> {
  const [first] = hashes;
  if (first === undefined) {
    return refuse(
      'certificate_unknown',
      'certificate',
      `No certificate has the number "${number}"; check it, or give its hash.`,
    );
  }
  if (hashes.length === 1) return ok(first);
  return refuse(
    'certificate_ambiguous',
    'certificate',
    `Several certificates have the number "${number}"; give the hash of one: ${hashes.join(', ')}.`,
  );
}
