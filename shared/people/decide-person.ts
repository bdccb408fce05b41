import { z } from 'zod';
import { identifierSchema, spokenTextSchema } from '../identifier.ts';
import { ok, type Result, refuse } from '../result.ts';
import { roleRefusal } from './permission.ts';
import { badgeSchema, type Person, type PersonEvent, type PinHash, personNameSchema } from './person.ts';
import { checkNewPin } from './pin-policy.ts';
import { type Actor, type Role, roleSchema } from './role.ts';
import { takesPin } from './signature.ts';

const ofPerson = { personId: identifierSchema };
const rolesSchema = z
  .array(roleSchema)
  .min(1, 'is empty; give at least one role, or let the person leave')
  .refine((roles) => new Set(roles).size === roles.length, { message: 'names a role twice; name it once' });
/** As typed; `checkNewPin` says what is wrong with it. */
const newPin = z.string().max(20);

/** What an administrator may ask of the accounts, and everyone of their own PIN. */
export const personCommandSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('addPerson'),
    ...ofPerson,
    name: personNameSchema,
    roles: rolesSchema,
    badge: badgeSchema.optional(),
  }),
  z.strictObject({ kind: z.literal('setPin'), ...ofPerson, newPin }),
  z.strictObject({ kind: z.literal('setOwnPin'), newPin }),
  z.strictObject({ kind: z.literal('setBadge'), ...ofPerson, badge: badgeSchema.nullable() }),
  z.strictObject({ kind: z.literal('setRoles'), ...ofPerson, roles: rolesSchema }),
  z.strictObject({ kind: z.literal('deactivatePerson'), ...ofPerson, reason: spokenTextSchema }),
]);
export type PersonCommand = z.infer<typeof personCommandSchema>;

export interface PersonContext {
  readonly at: string;
  readonly person: Actor;
  /** True when the person has just re-entered the PIN for this command. */
  readonly pinVerified: boolean;
  /** Everyone who was ever added, also those who have left. */
  readonly people: readonly Person[];
  /** setPin, setOwnPin: the hash that the station made of the new PIN. */
  readonly newPinHash?: PinHash | undefined;
  /** True in an invented workshop. */
  readonly invented: boolean;
}

/** What a command makes of an account: the events, or the refusal. Never throws. */
export function decidePerson(command: PersonCommand, context: PersonContext): Result<readonly PersonEvent[]> {
  const forRole = roleRefusal(context.person, command.kind);
  if (forRole !== null) return { ok: false, error: forRole };
  if (takesPin(command.kind) && !context.pinVerified) {
    return refuse('pin_required', 'pin', 'This takes your own PIN; enter it.');
  }
  const personId = command.kind === 'setOwnPin' ? context.person.personId : command.personId;
  const envelope = { personId, at: context.at, byPersonId: context.person.personId };
  const state = context.people.find((person) => person.personId === personId);
  if (command.kind === 'addPerson') return decideAddition(state, command, context, envelope);
  if (state === undefined) {
    return refuse('no_such_person', 'personId', `There is no person ${personId}; add the person first.`);
  }
  if (!state.active) {
    return refuse('person_left', 'personId', `${state.name} has left; add a new person instead.`);
  }
  switch (command.kind) {
    case 'setPin':
    case 'setOwnPin': {
      const checked = checkNewPin(command.newPin);
      if (!checked.ok) return { ok: false, error: { ...checked.error, field: 'newPin' } };
      if (context.newPinHash === undefined) {
        return refuse('pin_not_hashed', 'newPin', 'The new PIN did not arrive; enter it again.');
      }
      return ok([{ kind: 'pinSet', ...envelope, ...context.newPinHash }]);
    }
    case 'setBadge': {
      const taken = badgeTaken(command.badge, personId, context.people);
      return taken ?? ok([{ kind: 'badgeSet', ...envelope, badge: command.badge }]);
    }
    case 'setRoles':
      if (!command.roles.includes('administrator') && isLastAdministrator(state, context.people)) {
        return lastAdministrator(state);
      }
      return ok([{ kind: 'rolesSet', ...envelope, roles: inOrder(command.roles) }]);
    case 'deactivatePerson':
      if (personId === context.person.personId) {
        return refuse('own_account', 'personId', 'Nobody closes their own account; ask another one.');
      }
      if (isLastAdministrator(state, context.people)) return lastAdministrator(state);
      return ok([{ kind: 'personDeactivated', ...envelope, reason: command.reason }]);
  }
}

function decideAddition(
  state: Person | undefined,
  command: Extract<PersonCommand, { kind: 'addPerson' }>,
  { people, invented }: PersonContext,
  envelope: { readonly personId: string; readonly at: string; readonly byPersonId: string },
): Result<readonly PersonEvent[]> {
  const { personId, name, roles, badge } = command;
  if (state !== undefined) {
    return refuse('person_known', 'personId', `${personId} is ${state.name} already; choose another name.`);
  }
  const taken = badgeTaken(badge ?? null, personId, people);
  if (taken !== null) return taken;
  return ok([
    { kind: 'personAdded', ...envelope, name, roles: inOrder(roles), invented },
    ...(badge === undefined ? [] : [{ kind: 'badgeSet' as const, ...envelope, badge }]),
  ]);
}

function badgeTaken(
  badge: string | null,
  personId: string,
  people: readonly Person[],
): ReturnType<typeof refuse> | null {
  const holder = people.find((person) => person.badge !== null && person.badge === badge);
  if (holder === undefined || holder.personId === personId) return null;
  return refuse('badge_taken', 'badge', `This badge belongs to ${holder.name}; use another one.`);
}

/** One who can sign in: without a PIN nobody can. */
function isAdministrator({ active, roles, pin }: Person): boolean {
  return active && pin !== null && roles.includes('administrator');
}

function isLastAdministrator(person: Person, people: readonly Person[]): boolean {
  const others = people.filter(({ personId }) => personId !== person.personId);
  return isAdministrator(person) && !others.some(isAdministrator);
}

function lastAdministrator({ name }: Person): ReturnType<typeof refuse> {
  return refuse(
    'last_administrator',
    'personId',
    `${name} is the last administrator who can sign in; make another one first.`,
  );
}

/** In the order of the role table, so that the same roles are the same data. */
function inOrder(roles: readonly Role[]): Role[] {
  return roleSchema.options.filter((role) => roles.includes(role));
}
