import type { Store } from '../../../electron/station/store/store.ts';
import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';
import type { JobEvent } from '../../../shared/job/event.ts';

/** Appends one event to the stream of its job; what is returned is acknowledged. @throws when it is refused */
export function appendJobEvent(store: Store, event: JobEvent): StoredEvent {
  const stream = `job/${event.jobId}`;
  const result = store.append({
    stream,
    expectedVersion: store.versionOf(stream),
    personId: event.personId,
    events: [{ kind: event.kind, body: { ...event } }],
  });
  if (!result.ok) throw new Error(result.error.message);
  const [stored] = result.value;
  if (stored === undefined) throw new Error('an append of one event stored none');
  return stored;
}
