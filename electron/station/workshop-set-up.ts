import { randomUUID } from 'node:crypto';
import type { Clock } from '../../drivers/port/clock.ts';
import { jobEvidence } from '../../shared/evidence/job-evidence.ts';
import { checkNewPin } from '../../shared/people/pin-policy.ts';
import { ok, type Result } from '../../shared/result.ts';
import { firstAdministrator } from './people/first-administrator.ts';
import { hashPin, type PinHashing } from './people/pin.ts';
import { openEvidence, openStore } from './store/open-store.ts';
import { StoreFault } from './store/store-fault.ts';
import { readWorkshop, workshopNaming } from './workshop.ts';

export interface WorkshopSetUp {
  readonly dataFolder: string;
  /** As it stands on every record. */
  readonly workshop: string;
  readonly administrator: { readonly personId: string; readonly name: string };
  readonly pin: string;
  readonly clock: Clock;
  readonly pinHashing?: PinHashing | undefined;
}

/**
 * Makes database and key of a real workshop with its first administrator: in one transaction, so that a set-up
 * that is cut short has set nothing up.
 *
 * @returns the id of the key, or the refusal of the PIN
 * @throws StoreFault
 */
export async function setUpWorkshop(setUp: WorkshopSetUp): Promise<Result<{ readonly keyId: string }>> {
  const { dataFolder, clock, administrator } = setUp;
  const pin = checkNewPin(setUp.pin);
  if (!pin.ok) return pin;
  const hash = await hashPin(pin.value, setUp.pinHashing);
  const store = openStore({ folder: dataFolder, clock, createId: randomUUID, rules: jobEvidence });
  try {
    const events = firstAdministrator({ ...administrator, at: clock.wallTime() }, hash);
    const stored = store.append({
      stream: `person/${administrator.personId}`,
      expectedVersion: 0,
      personId: null,
      events: events.map((event) => ({ kind: event.kind, body: event })),
      also: [workshopNaming(store, clock, { name: setUp.workshop, simulated: false })],
    });
    return stored.ok ? ok({ keyId: store.keyId }) : stored;
  } finally {
    store.close();
  }
}

/** How far a data folder has been set up. */
export interface SetUpState {
  /** Name of its workshop; null before its set-up is complete. */
  readonly workshop: string | null;
  /** True when people are there without a workshop: the set-up of a demo was cut short. */
  readonly isHalfDone: boolean;
}

/** Looks into a data folder without leaving anything there. @throws StoreFault where it cannot be read */
export function readSetUp(dataFolder: string): SetUpState {
  try {
    const evidence = openEvidence(dataFolder);
    try {
      const workshop = readWorkshop(evidence)?.name ?? null;
      return { workshop, isHalfDone: workshop === null && evidence.readStreams('person/').length > 0 };
    } finally {
      evidence.close();
    }
  } catch (error) {
    if (error instanceof StoreFault && error.code === 'no_database')
      return { workshop: null, isHalfDone: false };
    throw error;
  }
}
