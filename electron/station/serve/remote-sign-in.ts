import type { Person } from '../../../shared/people/person.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { StationLog } from '../log.ts';
import type { PeopleDesk } from '../people/people-desk.ts';
import { hashPin, type PinHashing, verifyPin } from '../people/pin.ts';
import { RateLimit } from './rate-limit.ts';

export interface RemoteSignInParts {
  readonly people: Pick<PeopleDesk, 'find' | 'isLocked' | 'active'>;
  readonly log: StationLog;
  /** Milliseconds that only go forward. */
  readonly now: () => number;
  /** As hard as the PINs of the people, so that nobody learns from the time whether a name exists. */
  readonly pinHashing?: PinHashing | undefined;
}

export interface RemoteProof {
  /** Id, badge or name of the person. */
  readonly who: string;
  readonly pin: string;
}

/** Tries from one address, and from all together: scrypt costs the bench time too. */
const perAddress = { burst: 6, perSecond: 1 / 20 };
const together = { burst: 30, perSecond: 1 / 4 };
/** Wrong PINs of one person, from wherever: six, then one in half an hour. A PIN of four digits holds for months. */
const perPerson = { burst: 6, perSecond: 1 / 1800 };

/**
 * Signing in from another desk. Its tries are counted here and not at the bench: a stranger in the network must not be
 * able to lock a technician's account there.
 */
export class RemoteSignIn {
  readonly #parts: RemoteSignInParts;
  readonly #addresses: RateLimit;
  readonly #people: RateLimit;
  readonly #together: RateLimit;
  #decoy: ReturnType<typeof hashPin> | undefined;

  constructor(parts: RemoteSignInParts) {
    this.#parts = parts;
    this.#addresses = new RateLimit(perAddress, parts.now);
    this.#people = new RateLimit(perPerson, parts.now);
    this.#together = new RateLimit(together, parts.now);
  }

  /** The person whose PIN it is. The refusal does not tell whether name or PIN is wrong. */
  async signIn({ who, pin }: RemoteProof, address: string): Promise<Result<Person>> {
    const { log } = this.#parts;
    const person = this.#find(who);
    const name = person?.personId ?? `unknown ${who.slice(0, 60)}`;
    const isAllowed = this.#addresses.take(address) && this.#together.take('all') && this.#people.take(name);
    if (!isAllowed) {
      log.warn({ address }, 'remote sign-in refused: too many tries');
      return refuse('sign_in_wait', 'pin', 'Too many tries from here or for this name; wait and try again.');
    }
    const kept = person?.pin ?? (await this.#decoyHash());
    const isRight = await verifyPin(pin, kept);
    if (
      !isRight ||
      person === undefined ||
      person.pin === null ||
      this.#parts.people.isLocked(person.personId)
    ) {
      log.warn({ address }, 'remote sign-in refused');
      return refuse('sign_in_wrong', 'pin', 'Name or PIN is wrong; try again.');
    }
    this.#people.giveBack(name);
    this.#addresses.giveBack(address);
    log.info({ address, personId: person.personId }, 'remote sign-in');
    return ok(person);
  }

  #find(who: string): Person | undefined {
    const { people } = this.#parts;
    return (
      people.find({ badge: who }) ??
      people.find({ personId: who }) ??
      people.active().find(({ name }) => name.toLowerCase() === who.toLowerCase())
    );
  }

  #decoyHash(): ReturnType<typeof hashPin> {
    this.#decoy ??= hashPin('0', this.#parts.pinHashing);
    return this.#decoy;
  }
}
