import type { Capture, Evidence, Tare } from '../job/capture.ts';
import { type JobEvent, type JobEventOf, jobEventOf } from '../job/event.ts';
import { fromBase64, toBase64 } from './base64.ts';
import type { JsonObject } from './canonical-json.ts';
import type { StoredEvent } from './stored-event.ts';

export const recordFormat = 'bandwright-record-1';

/** A job event and its link in the chain. */
interface Link {
  readonly event: JobEvent;
  readonly stored: StoredEvent;
}

/**
 * The record of a job from its events alone: what was measured, with the raw bytes, what was decided, by whom,
 * with which instruments, lots and sheet. The course of the indication (`trace`) stays in the event, which
 * `eventHash` names.
 *
 * @param events the whole stream, in order, up to the event that closes it
 * @throws ZodError for a body that is no job event
 */
export function buildJobRecord(events: readonly StoredEvent[]): JsonObject {
  const links = events.map((stored) => ({ stored, event: jobEventOf(stored.body) }));
  const opening = links[0]?.event;
  const [first] = events;
  const last = events.at(-1);
  if (opening?.kind !== 'jobOpened' || first === undefined || last === undefined) {
    throw new TypeError('a record begins with jobOpened');
  }
  const ends = links.filter(({ event }) => endKinds.has(event.kind));
  const end = ends.at(-1)?.event;
  return {
    format: recordFormat,
    jobId: opening.jobId,
    serial: opening.serial,
    headId: opening.headId,
    sheet: { sheetId: opening.sheetId, revision: opening.sheetRevision, hash: opening.sheetHash },
    workshop: opening.workshop,
    simulated: opening.simulated,
    customerReference: opening.customerReference ?? null,
    reportedFault: opening.reportedFault ?? null,
    openedAt: opening.at,
    closedAt: end?.at ?? null,
    outcome: end === undefined ? null : (outcomes[end.kind] ?? null),
    people: [...new Set(links.map(({ event }) => event.personId))],
    lots: [...new Set(links.flatMap(({ event }) => lotOf(event)))],
    instruments: instrumentsOf(links),
    captures: links.flatMap(({ event, stored }) =>
      event.kind === 'measurementCaptured' ? [recordedCapture(event, stored)] : [],
    ),
    history: links.flatMap(({ event, stored }) =>
      event.kind === 'measurementCaptured' || event.kind === 'jobOpened' ? [] : [historyEntry(event, stored)],
    ),
    firstEvent: { sequence: first.sequence, hash: first.hash },
    lastEvent: { sequence: last.sequence, hash: last.hash },
  };
}

const outcomes: Readonly<Record<string, string>> = {
  jobReleased: 'released',
  jobAbandoned: 'abandoned',
  jobVoided: 'voided',
};
const endKinds: ReadonlySet<string> = new Set(Object.keys(outcomes));

function lotOf(event: JobEvent): readonly string[] {
  return event.kind === 'consumableUsed' && event.lotId !== null ? [event.lotId] : [];
}

function instrumentsOf(links: readonly Link[]): readonly JsonObject[] {
  const byId = new Map<string, JsonObject>();
  for (const { event } of links) {
    if (event.kind === 'measurementCaptured') {
      byId.set(event.capture.instrument.instrumentId, { ...event.capture.instrument });
    }
  }
  return [...byId.values()];
}

/** A capture as it stands in a record, in exports and on the command line. */
export function recordedCapture(event: JobEventOf<'measurementCaptured'>, stored: StoredEvent): JsonObject {
  const { capture } = event;
  const { judgement } = capture;
  return {
    captureId: capture.captureId,
    sequence: stored.sequence,
    eventHash: stored.hash,
    at: event.at,
    personId: event.personId,
    stepId: event.stepId,
    quantity: capture.quantity,
    attempt: capture.attempt,
    value: judgement.value,
    unit: judgement.unit,
    decision: judgement.decision,
    conformance: judgement.conformance,
    margin: judgement.margin,
    acceptance: plain(judgement.acceptance),
    uncertainty: plain(judgement.uncertainty),
    band: plain(capture.band),
    rule: plain(capture.rule),
    budget: plain(capture.budget),
    indication: plain(capture.indication),
    measured: plain(capture.measured),
    corrections: plain(capture.corrections),
    instrument: plain(capture.instrument),
    ...rawOf(capture.evidence),
    tare: capture.tare === undefined ? null : recordedTare(capture.tare),
    pulls: plain(capture.pulls ?? null),
  };
}

function recordedTare({ indication, evidence }: Tare): JsonObject {
  return { indication: plain(indication), ...rawOf(evidence) };
}

/** All bytes in one base64 text; `lines` says where each line ends and when it came, in ms since the first. */
function rawOf({ profileHash, lines }: Evidence): JsonObject {
  const pieces = lines.map(({ base64 }) => fromBase64(base64) ?? new Uint8Array());
  const bytes = new Uint8Array(pieces.reduce((length, piece) => length + piece.length, 0));
  let end = 0;
  for (const piece of pieces) {
    bytes.set(piece, end);
    end += piece.length;
  }
  return {
    profileHash,
    rawBytes: toBase64(bytes),
    lines: lines.map(({ atMilliseconds }, index) => ({ atMilliseconds, bytes: pieces[index]?.length ?? 0 })),
  };
}

function historyEntry(event: JobEvent, { sequence, hash }: StoredEvent): JsonObject {
  const { jobId: _, ...rest } = event;
  const entry = rest.kind === 'tareTaken' ? withoutEvidence(rest) : rest;
  return { sequence, eventHash: hash, ...plainObject(entry) };
}

/** Raw bytes of a weighing before the fill, in the same words as those of a capture. */
function withoutEvidence({ evidence, ...rest }: { readonly evidence: Evidence }): object {
  return { ...rest, ...rawOf(evidence) };
}

type Plain = Capture[keyof Capture] | object | null;

/** zod's output is plain data; this says so to the type checker. */
function plain(value: Plain | undefined): JsonObject[string] {
  return value as JsonObject[string];
}

function plainObject(value: object): JsonObject {
  return value as JsonObject;
}
