import { fromBase64 } from '../../../shared/evidence/base64.ts';
import type { Evidence } from '../../../shared/job/capture.ts';
import type { JobEventOf } from '../../../shared/job/event.ts';
import type { ReadingSource, TimelineEvent } from './timeline.ts';

/** One captured reading as a line of a table. The order of the names is the order of the columns. */
export function readingRow(
  { job, opening, recordHash }: ReadingSource,
  { stored, event }: TimelineEvent<JobEventOf<'measurementCaptured'>>,
): Readonly<Record<string, string | number | null>> {
  const { capture } = event;
  const { judgement, instrument, indication, band, rule } = capture;
  const bytes = rawBytesOf(capture.evidence);
  return {
    serial: job.serial,
    job: job.jobId,
    head: job.headId,
    opened: opening?.event.at ?? job.openedAt,
    phase: job.phase ?? 'open',
    simulated: String(capture.instrument.simulated),
    sequence: stored.sequence,
    at: event.at,
    person: event.personId,
    step: event.stepId,
    quantity: capture.quantity,
    attempt: capture.attempt,
    value: judgement.value,
    unit: judgement.unit,
    decision: judgement.decision,
    conformance: judgement.conformance,
    margin: judgement.margin,
    acceptance_lower: judgement.acceptance?.lower ?? null,
    acceptance_upper: judgement.acceptance?.upper ?? null,
    tolerance_lower: judgement.tolerance.lower,
    tolerance_upper: judgement.tolerance.upper,
    target: band.target ?? null,
    expanded_uncertainty: judgement.uncertainty.expanded,
    coverage_factor: judgement.uncertainty.k,
    rule: rule.kind,
    indication: indication.text,
    indication_unit: indication.unit,
    indication_state: indication.state,
    tare: capture.tare?.indication.text ?? null,
    instrument: instrument.instrumentId,
    instrument_name: instrument.name,
    certificate: instrument.certificateNumber,
    calibration_due: instrument.calibrationDue,
    concession: instrument.concession,
    profile: instrument.profileName,
    profile_hash: capture.evidence.profileHash,
    sheet: opening?.event.sheetId ?? null,
    sheet_revision: opening?.event.sheetRevision ?? null,
    raw_hex: bytes.toString('hex'),
    raw_text: shownBytes(bytes),
    event_hash: stored.hash,
    record_hash: recordHash,
  };
}

/** The names of the columns, for a table without rows. */
export const readingColumns = [
  ...['serial', 'job', 'head', 'opened', 'phase', 'simulated', 'sequence', 'at', 'person', 'step'],
  ...['quantity', 'attempt', 'value', 'unit', 'decision', 'conformance', 'margin'],
  ...['acceptance_lower', 'acceptance_upper', 'tolerance_lower', 'tolerance_upper', 'target'],
  ...['expanded_uncertainty', 'coverage_factor', 'rule', 'indication', 'indication_unit', 'indication_state'],
  ...['tare', 'instrument', 'instrument_name', 'certificate', 'calibration_due', 'concession'],
  ...[
    'profile',
    'profile_hash',
    'sheet',
    'sheet_revision',
    'raw_hex',
    'raw_text',
    'event_hash',
    'record_hash',
  ],
] as const;

/** All raw bytes behind an indication, in the order in which they came. */
export function rawBytesOf({ lines }: Evidence): Buffer {
  return Buffer.concat(lines.map(({ base64 }) => fromBase64(base64) ?? new Uint8Array()));
}

/** Bytes as text that can be read aloud: what is not printable ASCII as `<0D>`. */
export function shownBytes(bytes: Uint8Array): string {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('latin1');
  return text.replace(/[^ -;=-~]/g, (character) => {
    return `<${character.charCodeAt(0).toString(16).toUpperCase().padStart(2, '0')}>`;
  });
}
