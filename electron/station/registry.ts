import type { z } from 'zod';
import type { JsonObject } from '../../shared/evidence/canonical-json.ts';
import type { StoredEvent } from '../../shared/evidence/stored-event.ts';
import type { Result } from '../../shared/result.ts';
import type { NewDocument, Store, StreamAppend } from './store/store.ts';

/** What a registry needs of the store. */
export type RegistryStore = Pick<Store, 'readStreams' | 'append'>;

/** How a family of streams (`person/…`, `lot/…`) becomes states. */
export interface RegistryRules<
  State extends { readonly version: number },
  Event extends { readonly kind: string },
> {
  readonly prefix: string;
  readonly schema: z.ZodType<Event>;
  fold(state: State | undefined, event: Event): State;
}

/**
 * The states of a family of streams, folded once at the start and after every append. The store stays the truth:
 * an append that it refuses changes nothing here.
 */
export class Registry<State extends { readonly version: number }, Event extends { readonly kind: string }> {
  readonly #store: RegistryStore;
  readonly #rules: RegistryRules<State, Event>;
  readonly #states = new Map<string, State>();

  constructor(store: RegistryStore, rules: RegistryRules<State, Event>) {
    this.#store = store;
    this.#rules = rules;
    for (const event of store.readStreams(rules.prefix)) this.#take(event);
  }

  /** The state of one stream by its id, without the prefix. */
  get(id: string): State | undefined {
    return this.#states.get(id);
  }

  all(): readonly State[] {
    return [...this.#states.values()];
  }

  /** What to append, for a transaction that spans several families. Hand the stored events to `take` afterwards. */
  plan(id: string, events: readonly Event[]): StreamAppend {
    return {
      stream: this.#rules.prefix + id,
      expectedVersion: this.#states.get(id)?.version ?? 0,
      events: events.map((event) => ({ kind: event.kind, body: { ...event } as JsonObject })),
    };
  }

  /** Appends events to one stream, with the documents that they name by hash, and folds them. */
  append(
    id: string,
    events: readonly Event[],
    personId: string | null,
    documents: readonly NewDocument[] = [],
  ): Result<readonly StoredEvent[]> {
    const stored = this.#store.append({ ...this.plan(id, events), personId, documents });
    if (stored.ok) this.take(stored.value);
    return stored;
  }

  /** Folds events that the store has taken; those of other families are left alone. */
  take(events: readonly StoredEvent[]): void {
    for (const event of events) if (event.stream.startsWith(this.#rules.prefix)) this.#take(event);
  }

  #take(event: StoredEvent): void {
    const id = event.stream.slice(this.#rules.prefix.length);
    this.#states.set(id, this.#rules.fold(this.#states.get(id), this.#rules.schema.parse(event.body)));
  }
}
