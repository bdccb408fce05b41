import { finding } from '../../../shared/audit/finding.ts';
import { nobody } from './naming.ts';
import { hashOfRawEvent, type RawEvent } from './raw-event.ts';
import type { Verification } from './verification.ts';

/** Tells events that were moved to another place from events that were changed. */
export interface Reordering {
  /** A place where nothing stands. */
  empty(sequence: number): void;
  /** An event whose hash is not that of its columns. */
  altered(event: RawEvent): void;
  /** Reports what was held back. */
  finish(): void;
}

/** So many altered events are tried at so many places; beyond that each is reported as altered at once. */
const held = 300;

export function createReordering(verification: Verification): Reordering {
  const { naming, report } = verification;
  const altered: RawEvent[] = [];
  const places: number[] = [];

  function tell(event: RawEvent): void {
    const { sequence } = event;
    const from = places.find((place) => place !== sequence && hashOfRawEvent(event, place) === event.hash);
    const owner = ownerOf(verification, event);
    if (from !== undefined) {
      report('reordered', owner, sequence, finding('eventMoved', { event: sequence, from }));
      return;
    }
    report('altered', owner, sequence, finding('eventAltered', { event: sequence, kind: shown(event.kind) }));
  }

  return {
    empty(sequence) {
      if (places.length < held) places.push(sequence);
    },
    altered(event) {
      if (altered.length >= held) return tell(event);
      altered.push(event);
      if (places.length < held) places.push(event.sequence);
    },
    finish() {
      for (const event of altered) tell(event);
    },
  };

  function ownerOf(_: Verification, event: RawEvent) {
    const byStream = naming.ofStream(event.stream);
    if (byStream.serial !== null) return byStream;
    const bySequence = naming.ofSequence(event.sequence);
    if (bySequence !== nobody && bySequence.serial !== null) return bySequence;
    const jobId = /"jobId":"([A-Za-z0-9._-]{1,80})"/.exec(Buffer.from(event.body).toString('latin1'))?.[1];
    const byBody = jobId === undefined ? nobody : naming.ofStream(`job/${jobId}`);
    return byBody.serial === null ? byStream : byBody;
  }
}

/** A word of the database, fit to be shown. */
function shown(text: string): string {
  return /^[\w ]{1,40}$/.test(text) ? text : 'of no known kind';
}
