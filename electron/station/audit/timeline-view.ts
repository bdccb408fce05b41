import type { CaptureView, TimelineView } from '../../../shared/contract.ts';
import type { JobEvent, JobEventOf } from '../../../shared/job/event.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import { createSheetTitles } from './sheet-titles.ts';
import { readVisits, type TimelineEvent, type Visit, wordsOf } from './timeline.ts';

/**
 * Every visit of a serial as the audit screen shows it.
 *
 * @param nameOf the name of a person by id
 */
export function buildTimeline(
  reader: EvidenceReader,
  serial: string,
  nameOf: (personId: string) => string,
): TimelineView {
  const viewOf = createVisitView(reader, nameOf);
  return { serial, visits: readVisits(reader, serial).map(viewOf) };
}

/** How the audit screen shows visits that one reader has. */
export function createVisitView(
  reader: EvidenceReader,
  nameOf: (personId: string) => string,
): (visit: Visit) => TimelineView['visits'][number] {
  const titlesOf = createSheetTitles(reader);
  return (visit) => ({
    ...visitView(visit, nameOf),
    titles: titlesOf(visit.opening?.event.sheetHash),
  });
}

function visitView(
  { job, opening, events, captures, recordHash, damage }: Visit,
  nameOf: (personId: string) => string,
) {
  return {
    jobId: job.jobId,
    headId: job.headId,
    openedAt: opening?.event.at ?? job.openedAt,
    phase: job.phase ?? 'open',
    simulated: opening?.event.simulated ?? false,
    sheet:
      opening === undefined
        ? null
        : { sheetId: opening.event.sheetId, revision: opening.event.sheetRevision },
    recordHash,
    damage,
    captures: captures.map((capture) => captureView(capture, nameOf)),
    events: events
      .filter(({ event }) => event.kind !== 'measurementCaptured')
      .map(({ stored, event }) => ({
        sequence: stored.sequence,
        at: event.at,
        person: nameOf(event.personId),
        kind: event.kind,
        stepId: 'stepId' in event ? event.stepId : null,
        details: detailsOf(event, nameOf),
      })),
  };
}

/** What an event says besides who, when and where, as plain text by the names of its fields. */
function detailsOf(event: JobEvent, nameOf: (personId: string) => string): Readonly<Record<string, string>> {
  const people =
    event.kind === 'jobHandedOver'
      ? { toPerson: nameOf(event.toPersonId) }
      : event.kind === 'jobVoided'
        ? { secondPerson: nameOf(event.secondPersonId) }
        : {};
  const given = Object.entries({ ...wordsOf(event), ...people }).filter(
    ([, value]) => value !== null && value !== undefined,
  );
  return Object.fromEntries(given.map(([name, value]) => [name, String(value)]));
}

function captureView(
  { stored, event }: TimelineEvent<JobEventOf<'measurementCaptured'>>,
  nameOf: (personId: string) => string,
): CaptureView {
  const { capture } = event;
  const { judgement, instrument, indication, measured } = capture;
  return {
    captureId: capture.captureId,
    sequence: stored.sequence,
    at: event.at,
    person: nameOf(event.personId),
    stepId: event.stepId,
    quantity: capture.quantity,
    attempt: capture.attempt,
    indication: { text: indication.text, unit: indication.unit },
    tare:
      capture.tare === undefined
        ? null
        : { text: capture.tare.indication.text, unit: capture.tare.indication.unit },
    measured: { text: measured.text ?? String(measured.value), unit: measured.unit },
    value: judgement.value,
    unit: judgement.unit,
    band: capture.band,
    rule: capture.rule,
    expandedUncertainty: judgement.uncertainty.expanded,
    coverageFactor: judgement.uncertainty.k,
    acceptance: judgement.acceptance,
    decision: judgement.decision,
    conformance: judgement.conformance,
    budget: capture.budget,
    pulls: (capture.pulls ?? []).map(({ peak, unit, final }) => ({ peak, unit, final })),
    instrument: {
      instrumentId: instrument.instrumentId,
      name: instrument.name,
      profileName: instrument.profileName,
      profileHash: instrument.profileHash,
      certificateNumber: instrument.certificateNumber,
      certificateHash: instrument.certificateHash,
      calibrationDue: instrument.calibrationDue,
      concession: instrument.concession,
      simulated: instrument.simulated,
    },
    rawLines: capture.evidence.lines,
    trace: capture.trace.points,
    hash: stored.hash,
  };
}
