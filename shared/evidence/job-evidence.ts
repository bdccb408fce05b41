import { z } from 'zod';
import { readJobEvent } from '../job/event.ts';
import type { JsonObject } from './canonical-json.ts';
import { type EvidenceRules, type IndexRow, type OpenedJob, utcOf } from './evidence-rules.ts';
import { buildJobRecord } from './job-record.ts';
import type { StoredEvent } from './stored-event.ts';

/** Ends of a job and the phase that each brings. */
const phaseAfter: Readonly<Record<string, string>> = {
  jobReleased: 'released',
  jobAbandoned: 'abandoned',
  jobVoided: 'voided',
};

/** Kinds of events that end a job. */
export const jobEndKinds: readonly string[] = Object.keys(phaseAfter);

// Only what the index needs: the whole event was validated when it was written, its hash says that it is the same.
const opened = z.object({ serial: z.string(), headId: z.string(), at: z.string(), sheetHash: z.string() });
const ended = z.object({ at: z.string() });
const used = z.object({ at: z.string(), lotId: z.string().nullable() });
const evidenced = z.object({ profileHash: z.string() });
const tared = z.object({ evidence: evidenced });
const captured = z.object({
  at: z.string(),
  stepId: z.string(),
  capture: z.object({
    captureId: z.string(),
    quantity: z.string(),
    judgement: z.object({ decision: z.string() }),
    instrument: z.object({
      instrumentId: z.string(),
      profileHash: z.string(),
      certificateHash: z.string().nullable(),
    }),
    evidence: evidenced,
    tare: tared.optional(),
  }),
});

// A body that was read as a whole before needs no second reading.
function openedBy(body: JsonObject): z.infer<typeof opened> {
  const event = readJobEvent(body);
  return event?.kind === 'jobOpened' ? event : opened.parse(body);
}

function usedBy(body: JsonObject): z.infer<typeof used> {
  const event = readJobEvent(body);
  return event?.kind === 'consumableUsed' ? event : used.parse(body);
}

function taredBy(body: JsonObject): z.infer<typeof tared> {
  const event = readJobEvent(body);
  return event?.kind === 'tareTaken' ? event : tared.parse(body);
}

function capturedBy(body: JsonObject): z.infer<typeof captured> {
  const event = readJobEvent(body);
  return event?.kind === 'measurementCaptured' ? event : captured.parse(body);
}

/** The meaning of job events for index and record. */
export const jobEvidence: EvidenceRules = {
  indexRows(event, job) {
    if (!event.stream.startsWith('job/')) return [];
    const jobId = event.stream.slice('job/'.length);
    return event.kind === 'jobOpened' ? [openedRow(event, jobId)] : laterRows(event, jobId, job);
  },
  closesRecord: (event, wasEnded) =>
    event.stream.startsWith('job/') &&
    (Object.hasOwn(phaseAfter, event.kind) || (event.kind === 'amendmentMade' && wasEnded)),
  buildRecord: buildJobRecord,
  documentsOf,
};

function openedRow({ sequence, personId, body }: StoredEvent, jobId: string): IndexRow {
  const { serial, headId, at } = openedBy(body);
  return { table: 'job', jobId, serial, headId, personId, openedAt: utcOf(at), sequence };
}

/** The phase that an event brings its job and when (UTC); undefined for an event that does not end one. */
export function jobEndBy({ kind, body }: StoredEvent): { phase: string; at: string } | undefined {
  if (!Object.hasOwn(phaseAfter, kind)) return undefined;
  return { phase: phaseAfter[kind] ?? kind, at: utcOf(ended.parse(body).at) };
}

function laterRows(event: StoredEvent, jobId: string, job: OpenedJob | undefined): readonly IndexRow[] {
  const { sequence, personId, kind, body } = event;
  const end = jobEndBy(event);
  if (end !== undefined) return [{ table: 'job_end', jobId, ...end, sequence }];
  if (kind === 'consumableUsed') {
    const { at, lotId } = usedBy(body);
    return lotId === null ? [] : [{ table: 'consumption', lotId, jobId, at: utcOf(at), sequence }];
  }
  if (kind !== 'measurementCaptured') return [];
  if (job === undefined) throw new TypeError(`${event.stream} has a capture before it is opened`);
  const { at, stepId, capture } = capturedBy(body);
  return [
    {
      table: 'capture',
      captureId: capture.captureId,
      jobId,
      serial: job.serial,
      headId: job.headId,
      stepId,
      quantity: capture.quantity,
      instrumentId: capture.instrument.instrumentId,
      certificateHash: capture.instrument.certificateHash,
      decision: capture.judgement.decision,
      personId,
      at: utcOf(at),
      sequence,
    },
  ];
}

function documentsOf({ stream, kind, body }: StoredEvent): readonly string[] {
  if (!stream.startsWith('job/')) return [];
  if (kind === 'jobOpened') return [openedBy(body).sheetHash];
  if (kind === 'tareTaken') return [taredBy(body).evidence.profileHash];
  if (kind !== 'measurementCaptured') return [];
  const { capture } = capturedBy(body);
  const { profileHash, certificateHash } = capture.instrument;
  const named = [
    profileHash,
    certificateHash,
    capture.evidence.profileHash,
    capture.tare?.evidence.profileHash,
  ];
  return [...new Set(named.filter((hash) => typeof hash === 'string'))];
}
