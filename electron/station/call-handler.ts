import type { CallName, CallResults, callParameters } from '../../shared/contract.ts';
import { type Permission, roleRefusal } from '../../shared/people/permission.ts';
import type { Person } from '../../shared/people/person.ts';
import type { Actor } from '../../shared/people/role.ts';
import { ok, type Result, refuse } from '../../shared/result.ts';
import type { Screen } from './serve/screen-server.ts';
import type { Station } from './station.ts';

/** The parameters of a call when their shape has been checked. */
export type Parsed<Name extends CallName> = ReturnType<(typeof callParameters)[Name]['parse']>;

/** What a call does. */
export type Handler<Name extends CallName> = (
  station: Station,
  screen: Screen,
  parameters: Parsed<Name>,
) => Result<CallResults[Name]> | Promise<Result<CallResults[Name]>>;

/** Handlers of some calls. */
export type Handlers<Name extends CallName> = { readonly [Call in Name]: Handler<Call> };

/** The person signed in on a screen, or the refusal. */
export function signedIn(station: Station, screen: Screen): Result<Person> {
  const { personId } = screen.session;
  const person = personId === null ? undefined : station.people.find({ personId });
  return person === undefined
    ? refuse('not_signed_in', 'personId', 'Nobody is signed in here; sign in first.')
    : ok(person);
}

/** The person, if the role table lets them. */
export function allowedTo(person: Person, permission: Permission): Result<Person> {
  const refusal = roleRefusal(person, permission);
  return refusal === null ? ok(person) : { ok: false, error: refusal };
}

/** The person signed in, if the role table lets them. */
export function allowed(station: Station, screen: Screen, permission: Permission): Result<Person> {
  const person = signedIn(station, screen);
  return person.ok ? allowedTo(person.value, permission) : person;
}

export function actorOf({ personId, roles }: Person): Actor {
  return { personId, roles };
}
