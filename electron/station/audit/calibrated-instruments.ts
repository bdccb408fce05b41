import type { CalibratedInstrumentView } from '../../../shared/audit/impact-view.ts';
import { asFoundFinding } from '../../../shared/calibration/as-found-finding.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { instrumentOf } from './impact.ts';

const prefix = 'instrument/';

/** The instruments of the register that were ever calibrated, also those out of use. */
export function calibratedInstruments(reader: EvidenceReader): CalibratedInstrumentView[] {
  const ids = new Set(reader.readStreams(prefix).map(({ stream }) => stream.slice(prefix.length)));
  return [...ids].flatMap((instrumentId) => {
    const instrument = instrumentOf(reader, instrumentId);
    if (instrument === undefined || instrument.certificates.length === 0) return [];
    const calibrations = instrument.certificates.map(({ certificate, hash }) => ({
      hash,
      number: certificate.number,
      date: certificate.date,
      finding: asFoundFinding(certificate, instrument.metrology),
    }));
    calibrations.sort((one, other) => (one.date < other.date ? 1 : -1));
    return [{ instrumentId, name: instrument.name, calibrations }];
  });
}
