import { canonicalJson } from '../../../shared/evidence/canonical-json.ts';
import { type StoredEvent, streamSchema } from '../../../shared/evidence/stored-event.ts';
import { ok, type Refusal, type Result } from '../../../shared/result.ts';
import { createChainWriter, type Tail, type WriterParts } from './chain-writer.ts';
import type { ClockWatch } from './clock-watch.ts';
import type { Head } from './head-file.ts';
import { sha256 } from './sha256.ts';
import type { AppendRequest, NewDocument, StreamAppend } from './store.ts';
import { StoreFault } from './store-fault.ts';

export interface Appended {
  readonly events: readonly StoredEvent[];
  /** What the chain ends with now; undefined when there was nothing to write. */
  readonly head: Head | undefined;
}

/** The one writer of the evidence: each call is one transaction. Runs inside the caller's fault handling. */
export interface Appender {
  append(request: AppendRequest): Result<Appended>;
  putDocument(document: NewDocument): { readonly hash: string; readonly head: Head | undefined };
}

/** Leaves the transaction and takes everything back. */
class Conflict extends Error {
  readonly refusal: Refusal;
  constructor(refusal: Refusal) {
    super(refusal.message);
    this.refusal = refusal;
  }
}

export function createAppender({ clockWatch, ...parts }: WriterParts & { clockWatch: ClockWatch }): Appender {
  const { database, reader } = parts;
  const writer = createChainWriter(parts);
  /** Where this process left the chain; undefined after a fault, when it must look for itself. */
  let left: Tail | undefined = writer.begin();

  function appendStream(request: StreamAppend, personId: string | null, at: string): readonly StoredEvent[] {
    const stream = streamSchema.parse(request.stream);
    const version = reader.versionOf(stream);
    if (version !== request.expectedVersion) {
      throw new Conflict({
        code: 'version_conflict',
        field: 'expectedVersion',
        message: `${stream} has ${version} events, not ${request.expectedVersion}; read it again and decide anew`,
      });
    }
    return request.events.map((event, index) =>
      writer.writeEvent({ stream, version: version + index + 1, personId, at }, event),
    );
  }

  /** In a stream of its own, so that it meets nobody's expected version. */
  function noteClockJump(at: string): void {
    const jump = clockWatch.jumpSince(writer.tail().at, at);
    if (jump === null) return;
    appendStream({ stream: 'clock', expectedVersion: reader.versionOf('clock'), events: [jump] }, null, at);
  }

  const write = database.transaction(
    (work: (at: string) => readonly StoredEvent[], about: string): Appended => {
      const before = writer.begin();
      if (left !== undefined && (left.sequence !== before.sequence || left.hash !== before.hash)) {
        // To seal events of another program would vouch for them.
        throw new StoreFault('damaged', 'another program wrote to the database; stop and run verify');
      }
      const at = clockWatch.now();
      noteClockJump(at);
      const events = work(at);
      if (writer.tail().sequence === before.sequence) return { events, head: undefined };
      return { events, head: writer.seal(about) };
    },
  );

  function written(work: (at: string) => readonly StoredEvent[], about: string): Appended {
    try {
      const appended = write.immediate(work, about);
      left = writer.tail();
      return appended;
    } catch (error) {
      if (!(error instanceof StoreFault || error instanceof Conflict)) left = undefined;
      throw error;
    }
  }

  return {
    append(request) {
      if (request.events.length === 0) throw new TypeError('append: no events');
      const { personId } = request;
      const work = (at: string) => {
        for (const document of request.documents ?? []) writer.writeDocument(document, { personId, at });
        const parts = [request, ...(request.also ?? [])];
        const events = parts.flatMap((part) => appendStream(part, personId, at));
        for (const event of events) writer.writeRecordAfter(event);
        return events;
      };
      try {
        return ok(written(work, request.stream));
      } catch (error) {
        if (error instanceof Conflict) return { ok: false, error: error.refusal };
        throw error;
      }
    },
    putDocument(document) {
      const hash = sha256(canonicalJson(document.body));
      const work = (at: string) => {
        const event = writer.writeDocument(document, { personId: null, at });
        return event === undefined ? [] : [event];
      };
      return { hash, head: written(work, `document/${hash}`).head };
    },
  };
}
