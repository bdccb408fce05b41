import { z } from 'zod';
import { type LotUnit, lotEventSchema } from '../../../shared/consumable/lot.ts';
import { type JobEvent, jobEventSchema } from '../../../shared/job/event.ts';
import { personEventSchema } from '../../../shared/people/person.ts';
import { type ServiceSheet, serviceSheetSchema } from '../../../shared/sheet/sheet.ts';
import type { EvidenceReader } from '../store/evidence-reader.ts';
import type { RecordedEvent, ServiceRecordSource, SignedProof } from './service-record-source.ts';

/** What documents read of the evidence. */
export type DocumentReader = Pick<
  EvidenceReader,
  'readStream' | 'getDocument' | 'findJob' | 'jobsOfSerial' | 'recordOf'
>;

const lastEventSchema = z.object({ lastEvent: z.object({ sequence: z.int() }) });

/** Everything that the service record of a job is made from; undefined for an unknown job. */
export function readRecordSource(reader: DocumentReader, jobId: string): ServiceRecordSource | undefined {
  const events = reader
    .readStream(`job/${jobId}`)
    .map(
      ({ body, sequence, hash }): RecordedEvent => ({ event: jobEventSchema.parse(body), sequence, hash }),
    );
  const opening = events[0]?.event;
  if (opening?.kind !== 'jobOpened') return undefined;
  return {
    events,
    sheet: readSheet(reader, opening.sheetHash),
    names: readNames(reader, events),
    lotUnits: readLotUnits(reader, events),
    proof: readProof(reader, jobId),
  };
}

function readSheet(reader: DocumentReader, hash: string): ServiceSheet | null {
  const document = reader.getDocument(hash);
  const sheet = document && serviceSheetSchema.safeParse(document.body);
  return sheet?.success === true ? sheet.data : null;
}

function readProof(reader: DocumentReader, jobId: string): SignedProof | null {
  const stored = reader.recordOf(jobId);
  if (stored === undefined) return null;
  const { revision, record } = stored;
  const { lastEvent } = lastEventSchema.parse(record);
  const { hash, keyId, signature } = record;
  return { revision, hash, keyId, signature, lastSequence: lastEvent.sequence };
}

function readNames(reader: DocumentReader, events: readonly RecordedEvent[]): ReadonlyMap<string, string> {
  const ids = new Set(events.flatMap(({ event }) => peopleOf(event)));
  const names = new Map<string, string>();
  for (const id of ids) {
    for (const { body } of reader.readStream(`person/${id}`)) {
      const event = personEventSchema.parse(body);
      if (event.kind === 'personAdded') names.set(id, event.name);
    }
  }
  return names;
}

function peopleOf(event: JobEvent): readonly string[] {
  if (event.kind === 'jobHandedOver') return [event.personId, event.toPersonId];
  return event.kind === 'jobVoided' ? [event.personId, event.secondPersonId] : [event.personId];
}

function readLotUnits(
  reader: DocumentReader,
  events: readonly RecordedEvent[],
): ReadonlyMap<string, LotUnit> {
  const ids = new Set(
    events.flatMap(({ event }) =>
      event.kind === 'consumableUsed' && event.lotId !== null ? [event.lotId] : [],
    ),
  );
  const units = new Map<string, LotUnit>();
  for (const id of ids) {
    for (const { body } of reader.readStream(`lot/${id}`)) {
      const event = lotEventSchema.parse(body);
      if (event.kind === 'lotReceived') units.set(id, event.unit);
    }
  }
  return units;
}
