import type { Clock } from '../../drivers/port/clock.ts';
import { type DemoWorkshop, demoEvents, loadDemoWorkshop } from '../../seeds/index.ts';
import { canonicalJson, type JsonObject } from '../../shared/evidence/canonical-json.ts';
import type { PersonEvent } from '../../shared/people/person.ts';
import { hashPin, type PinHashing } from './people/pin.ts';
import { sha256 } from './store/sha256.ts';
import type { Store } from './store/store.ts';
import { nameWorkshop, type Workshop } from './workshop.ts';

/**
 * Sets the invented demo workshop up in a fresh data folder: people, sheets, instruments, lots.
 *
 * @param demo the workshop, when it is to differ from its files
 */
export async function seedDemoWorkshop(
  store: Store,
  clock: Clock,
  hashing?: PinHashing,
  demo: DemoWorkshop = loadDemoWorkshop(),
): Promise<Workshop> {
  const at = clock.wallTime();
  const events = demoEvents(demo, at, (certificate) => sha256(canonicalJson(certificate)));
  const pins = await Promise.all(
    events.pins.map(
      async ({ personId, pin }): Promise<PersonEvent> => ({
        kind: 'pinSet',
        personId,
        at,
        byPersonId: 'quartz',
        ...(await hashPin(pin, hashing)),
      }),
    ),
  );
  const workshop = { name: demo.workshop.name, simulated: true };
  appendAll(store, [
    ...events.people.map((event) => ({ stream: `person/${event.personId}`, event })),
    ...pins.map((event) => ({ stream: `person/${event.personId}`, event })),
    ...events.instruments.map((event) => ({ stream: `instrument/${event.instrumentId}`, event })),
    ...events.lots.map((event) => ({ stream: `lot/${event.lotId}`, event })),
    ...events.sheets.map((event) => ({ stream: `sheet/${event.sheetId}`, event })),
  ]);
  // Last: a set-up that was cut short is completed at the next start.
  nameWorkshop(store, clock, workshop);
  return workshop;
}

function appendAll(
  store: Store,
  entries: readonly { readonly stream: string; readonly event: { readonly kind: string } }[],
): void {
  const streams = Map.groupBy(entries, ({ stream }) => stream);
  for (const [stream, group] of streams) {
    // Left over from a set-up that was cut short.
    if (store.versionOf(stream) > 0) continue;
    store.append({
      stream,
      expectedVersion: 0,
      personId: null,
      events: group.map(({ event }) => ({ kind: event.kind, body: { ...event } as JsonObject })),
    });
  }
}
