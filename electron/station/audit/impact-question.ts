import type { AsFoundReport } from '../../../shared/calibration/as-found.ts';
import { asFoundFinding } from '../../../shared/calibration/as-found-finding.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { type ImpactWindow, impactWindow, instrumentOf } from './impact.ts';
import type { ImpactHead } from './impact-report.ts';

/** An instrument, and what one of its calibrations found. */
export interface ImpactQuestion {
  readonly report: AsFoundReport;
  readonly window: ImpactWindow;
  readonly head: ImpactHead;
  /** Of all certificates of the instrument. */
  readonly certificateHashes: readonly string[];
}

/** What the register says of an instrument and one of its calibrations. Refuses what the register does not have. */
export function impactQuestion(
  reader: Pick<EvidenceReader, 'readStream'>,
  instrumentId: string,
  certificateHash: string,
  since: string | undefined,
): Result<ImpactQuestion> {
  const instrument = instrumentOf(reader, instrumentId);
  if (instrument === undefined)
    return refuse('instrument_unknown', 'instrumentId', 'This instrument is not in the register.');
  const certificates = instrument.certificates.map(({ certificate }) => certificate);
  const chosen = instrument.certificates.find(({ hash }) => hash === certificateHash)?.certificate;
  if (chosen === undefined)
    return refuse('certificate_unknown', 'certificateHash', 'This instrument has no such certificate.');
  const { unit, asFound, date: foundOn, number } = chosen;
  const report = { asFound: { unit, points: asFound }, foundOn };
  const window = impactWindow(certificates, report, since);
  const finding = asFoundFinding(chosen, instrument.metrology);
  return ok({
    report,
    window,
    head: { instrumentId, name: instrument.name, certificateNumber: number, finding, ...window },
    certificateHashes: instrument.certificates.map(({ hash }) => hash),
  });
}
