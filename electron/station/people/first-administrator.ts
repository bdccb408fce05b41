import { type PersonEvent, type PinHash, personEventSchema } from '../../../shared/people/person.ts';

/** The events of the account that a workshop begins with; nobody is there yet to command them. */
export function firstAdministrator(
  person: { readonly personId: string; readonly name: string; readonly at: string },
  pin: PinHash,
): readonly PersonEvent[] {
  const { personId, name, at } = person;
  const envelope = { personId, at, byPersonId: personId };
  const events: readonly PersonEvent[] = [
    { kind: 'personAdded', ...envelope, name, roles: ['administrator'], invented: false },
    { kind: 'pinSet', ...envelope, ...pin },
  ];
  return events.map((event) => personEventSchema.parse(event));
}

/** An id for a name: `Ursula Öhm` becomes `ursula-ohm`; empty where nothing of the name can stand in one. */
export function idOfName(name: string): string {
  return name
    .normalize('NFKD')
    .toLowerCase()
    .replaceAll('ß', 'ss')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
    .slice(0, 80);
}
