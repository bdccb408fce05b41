import type { Role } from '../../shared/people/role.ts';
import type { Situation } from '../state/situation.ts';

/** The people of this bench who have one of the roles. */
export function peopleWho(
  situation: Situation,
  roles: readonly Role[],
): readonly { readonly personId: string; readonly name: string }[] {
  return (situation.snapshot?.people ?? []).filter((person) =>
    person.roles.some((role) => roles.includes(role)),
  );
}
