import type { Clock } from '../../../drivers/port/clock.ts';
import { foldPerson } from '../../../shared/people/fold.ts';
import {
  type Person,
  type PersonEvent,
  type PinHash,
  personEventSchema,
} from '../../../shared/people/person.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { Registry, type RegistryStore } from '../registry.ts';
import { hashPin, type PinHashing, pinHashing, verifyPin } from './pin.ts';
import type { PinAttempts } from './pin-attempts.ts';

/** Who works here, and whether a PIN is theirs. */
export class PeopleDesk {
  readonly registry: Registry<Person, PersonEvent>;
  readonly #attempts: PinAttempts;
  readonly #clock: Clock;
  readonly #hashing: PinHashing;
  /** One PIN at a time for each person, so that parallel tries cannot outrun the throttle. */
  readonly #turn = new Map<string, Promise<unknown>>();

  constructor(store: RegistryStore, attempts: PinAttempts, clock: Clock, hashing: PinHashing = pinHashing) {
    this.registry = new Registry(store, { prefix: 'person/', schema: personEventSchema, fold: foldPerson });
    this.#attempts = attempts;
    this.#clock = clock;
    this.#hashing = hashing;
  }

  /** People who may sign in, by name. */
  active(): readonly Person[] {
    return this.registry
      .all()
      .filter(({ active }) => active)
      .sort((a, b) => a.name.localeCompare(b.name));
  }

  /** The active person of a badge or an id. */
  find(key: {
    readonly personId?: string | undefined;
    readonly badge?: string | undefined;
  }): Person | undefined {
    return this.active().find((person) =>
      key.badge === undefined ? person.personId === key.personId : person.badge === key.badge,
    );
  }

  name(personId: string): string {
    return this.registry.get(personId)?.name ?? personId;
  }

  /** Hashes a new PIN, to be kept in a `pinSet`. */
  hashNewPin(pin: string): Promise<PinHash> {
    return hashPin(pin, this.#hashing);
  }

  /** After a `pinSet`: wrong tries at the old PIN count no longer. */
  pinWasSet(personId: string): void {
    this.#attempts.clear(personId);
  }

  /** True after too many wrong PINs: only a new PIN helps. */
  isLocked(personId: string): boolean {
    return this.#attempts.standing(personId, this.#clock.wallTime()).kind === 'locked';
  }

  /** Whether the PIN is this person's; wrong ones cost waiting time, too many lock the account. */
  async checkPin(person: Person, pin: string): Promise<Result<null>> {
    const before = this.#turn.get(person.personId) ?? Promise.resolve();
    const mine = before.then(() => this.#checkPin(person, pin));
    this.#turn.set(
      person.personId,
      mine.catch(() => undefined),
    );
    return mine;
  }

  async #checkPin(person: Person, pin: string): Promise<Result<null>> {
    const standing = this.#attempts.standing(person.personId, this.#clock.wallTime());
    if (standing.kind === 'locked') {
      return refuse('pin_locked', 'pin', 'Too many wrong PINs; an administrator has to set a new one.');
    }
    if (standing.kind === 'wait') {
      return refuse('pin_wait', 'pin', `Too many wrong PINs; wait ${standing.seconds} s and try again.`);
    }
    if (person.pin === null) {
      return refuse('pin_not_set', 'pin', 'No PIN is set for this person; an administrator has to set one.');
    }
    this.#attempts.note(person.personId, { at: this.#clock.wallTime(), right: false });
    if (!(await verifyPin(pin, person.pin)))
      return refuse('pin_wrong', 'pin', 'The PIN is wrong; try again.');
    this.#attempts.note(person.personId, { at: this.#clock.wallTime(), right: true });
    return ok(null);
  }
}
