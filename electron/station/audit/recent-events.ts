import type { StoredEvent } from '../../../shared/evidence/stored-event.ts';

/** The events of jobs that were met in the order of the chain, so that a record need not read them again. */
export interface RecentEvents {
  add(event: StoredEvent): void;
  /** All events so far of a stream, from its first on, which are forgotten then; undefined where they are not at hand. */
  take(stream: string): readonly StoredEvent[] | undefined;
}

/** Jobs at the bench at the same time are few; this many events are kept. */
const kept = 500;

export function createRecentEvents(): RecentEvents {
  const streams = new Map<string, StoredEvent[]>();
  let count = 0;

  function forget(stream: string): void {
    count -= streams.get(stream)?.length ?? 0;
    streams.delete(stream);
  }

  return {
    add(event) {
      const { stream, version } = event;
      if (!stream.startsWith('job/')) return;
      const before = streams.get(stream);
      if (version === 1 && before === undefined) streams.set(stream, [event]);
      else if (before?.length === version - 1) before.push(event);
      else return forget(stream);
      count++;
      for (const oldest of streams.keys()) {
        if (count <= kept) break;
        forget(oldest);
      }
    },
    take(stream) {
      const events = streams.get(stream);
      forget(stream);
      return events;
    },
  };
}
