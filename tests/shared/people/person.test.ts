import { expect, it } from 'vitest';
import { foldPerson } from '../../../shared/people/fold.ts';
import { type Person, type PersonEvent, personEventSchema } from '../../../shared/people/person.ts';

const envelope = { personId: 'amber', at: '2026-11-25T09:00:00Z', byPersonId: 'quartz' };
const pin = {
  hashBase64: 'aGFzaA==',
  saltBase64: 'c2FsdA==',
  parameters: { cost: 16384, blockSize: 8, parallelization: 1 },
};
const added: PersonEvent = {
  kind: 'personAdded',
  ...envelope,
  name: 'Technician Amber',
  roles: ['technician'],
  invented: true,
};

const foldAll = (events: readonly PersonEvent[]) =>
  events.reduce<Person | undefined>(
    (state, event) => foldPerson(state, personEventSchema.parse(event)),
    undefined,
  );

it('makes a person of what was done to the account', () => {
  const person = foldAll([
    added,
    { kind: 'pinSet', ...envelope, ...pin },
    { kind: 'badgeSet', ...envelope, badge: 'DEMO-AMBER' },
    { kind: 'rolesSet', ...envelope, roles: ['technician', 'lead'] },
  ]);
  expect(person).toEqual({
    personId: 'amber',
    name: 'Technician Amber',
    roles: ['technician', 'lead'],
    badge: 'DEMO-AMBER',
    pin,
    active: true,
    invented: true,
    version: 4,
  });
});

it('takes the badge away from a person who has left, and keeps the name for the records', () => {
  const left = foldAll([
    added,
    { kind: 'badgeSet', ...envelope, badge: 'DEMO-AMBER' },
    { kind: 'personDeactivated', ...envelope, reason: 'Left.' },
  ]);
  expect(left).toMatchObject({ active: false, badge: null, name: 'Technician Amber' });
});

it('throws where the events are not those of one person', () => {
  expect(() => foldAll([added, added])).toThrow('twice');
  expect(() => foldAll([{ kind: 'badgeSet', ...envelope, badge: null }])).toThrow('without the person');
});

it('never takes a PIN in clear into an event', () => {
  expect(personEventSchema.safeParse({ kind: 'pinSet', ...envelope, ...pin, pin: '2580' }).success).toBe(
    false,
  );
});
