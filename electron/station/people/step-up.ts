import type { Person } from '../../../shared/people/person.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { PeopleDesk } from './people-desk.ts';

/** Who acts, and whether they entered their PIN just now. */
export interface Prover {
  readonly person: Person;
  readonly pinVerified: boolean;
}

/**
 * The person who acts at a screen: the one signed in, or another who steps up for this one command with their PIN.
 * A PIN that is given is always checked. `mayAct` refuses before a PIN is tried.
 */
export async function stepUp(
  people: PeopleDesk,
  signedIn: Person,
  proof: { readonly pin?: string | undefined; readonly personId?: string | undefined },
  mayAct: (person: Person) => Result<unknown> = () => ok(null),
): Promise<Result<Prover>> {
  const { pin, personId } = proof;
  const person = personId === undefined ? signedIn : people.find({ personId });
  if (person === undefined) {
    return refuse('person_unknown', 'personId', 'This person is not known here; choose another.');
  }
  const allowed = mayAct(person);
  if (!allowed.ok) return allowed;
  if (pin !== undefined) {
    const checked = await people.checkPin(person, pin);
    if (!checked.ok) return checked;
  } else if (personId !== undefined) {
    return refuse('pin_required', 'pin', 'The person who steps up signs with the PIN; enter it.');
  }
  return ok({ person, pinVerified: pin !== undefined });
}
