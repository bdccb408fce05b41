import type { Person, PersonEvent } from './person.ts';

/** The state after one more event. Throws where the events cannot be those of one person. */
export function foldPerson(state: Person | undefined, event: PersonEvent): Person {
  if (event.kind === 'personAdded') {
    if (state !== undefined) throw new Error(`person ${event.personId} was added twice`);
    const { personId, name, roles, invented } = event;
    return { personId, name, roles, invented, badge: null, pin: null, active: true, version: 1 };
  }
  if (state === undefined || state.personId !== event.personId) {
    throw new Error(`${event.kind} of person ${event.personId} without the person`);
  }
  const next = { ...state, version: state.version + 1 };
  switch (event.kind) {
    case 'pinSet': {
      const { hashBase64, saltBase64, parameters } = event;
      return { ...next, pin: { hashBase64, saltBase64, parameters } };
    }
    case 'badgeSet':
      return { ...next, badge: event.badge };
    case 'rolesSet':
      return { ...next, roles: event.roles };
    case 'personDeactivated':
      return { ...next, active: false, badge: null };
  }
}
