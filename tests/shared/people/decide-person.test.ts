import { describe, expect, it } from 'vitest';
import {
  decidePerson,
  type PersonCommand,
  personCommandSchema,
} from '../../../shared/people/decide-person.ts';
import { type Person, personEventSchema } from '../../../shared/people/person.ts';
import type { Role } from '../../../shared/people/role.ts';
import { at } from '../job/workbench.ts';

const pin = {
  hashBase64: 'aGFzaA==',
  saltBase64: 'c2FsdA==',
  parameters: { cost: 16384, blockSize: 8, parallelization: 1 },
};
const person = (personId: string, roles: readonly Role[], changes: Partial<Person> = {}): Person => ({
  personId,
  name: `Person ${personId}`,
  roles,
  badge: `BADGE-${personId}`,
  pin,
  active: true,
  invented: true,
  version: 3,
  ...changes,
});
const quartz = person('quartz', ['administrator']);
const opal = person('opal', ['administrator', 'lead']);
const amber = person('amber', ['technician']);
const gone = person('gone', ['administrator'], { active: false, badge: null });
const everyone = [quartz, opal, amber, gone];

function run(command: PersonCommand, by = quartz, people: readonly Person[] = everyone, pinVerified = true) {
  const result = decidePerson(command, {
    at,
    person: by,
    pinVerified,
    people,
    newPinHash: pin,
    invented: true,
  });
  if (!result.ok) return result.error.code;
  return result.value.map((event) => {
    expect(personEventSchema.parse(JSON.parse(JSON.stringify(event)))).toEqual(event);
    return event;
  });
}

const addHeath: PersonCommand = {
  kind: 'addPerson',
  personId: 'heath',
  name: 'Technician Heath',
  roles: ['lead', 'technician'],
  badge: 'BADGE-heath',
};

describe('an administrator', () => {
  it('adds a person with roles and badge; the PIN is set by itself', () => {
    expect(run(addHeath)).toMatchObject([
      {
        kind: 'personAdded',
        personId: 'heath',
        byPersonId: 'quartz',
        roles: ['technician', 'lead'],
        invented: true,
      },
      { kind: 'badgeSet', personId: 'heath', badge: 'BADGE-heath' },
    ]);
  });

  it('gives nobody the id of another, not even of one who has left', () => {
    expect(run({ ...addHeath, personId: 'amber' })).toBe('person_known');
    expect(run({ ...addHeath, personId: 'gone' })).toBe('person_known');
  });

  it('gives a badge to one person only, and may take it back', () => {
    expect(run({ ...addHeath, badge: 'BADGE-amber' })).toBe('badge_taken');
    expect(run({ kind: 'setBadge', personId: 'opal', badge: 'BADGE-amber' })).toBe('badge_taken');
    expect(run({ kind: 'setBadge', personId: 'amber', badge: 'BADGE-amber' })).toMatchObject([
      { kind: 'badgeSet' },
    ]);
    expect(run({ kind: 'setBadge', personId: 'amber', badge: null })).toMatchObject([{ badge: null }]);
  });

  it('sets a PIN of another with their own, as a hash and never in clear', () => {
    const command: PersonCommand = { kind: 'setPin', personId: 'amber', newPin: '2491' };
    expect(run(command)).toEqual([{ kind: 'pinSet', personId: 'amber', byPersonId: 'quartz', at, ...pin }]);
    expect(JSON.stringify(run(command))).not.toContain('2491');
    expect(run(command, quartz, everyone, false)).toBe('pin_required');
    expect(run({ ...command, newPin: '1234' })).toBe('pin_too_plain');
    expect(run({ ...command, newPin: '12' })).toBe('pin_shape');
  });

  it('changes roles, but never takes the last administrator away', () => {
    const demote = (personId: string): PersonCommand => ({ kind: 'setRoles', personId, roles: ['lead'] });
    expect(run(demote('opal'))).toMatchObject([{ kind: 'rolesSet', roles: ['lead'] }]);
    expect(run(demote('quartz'))).toMatchObject([{ kind: 'rolesSet' }]);
    expect(run(demote('quartz'), quartz, [quartz, amber, gone])).toBe('last_administrator');
    // One who cannot sign in is of no help.
    expect(run(demote('quartz'), quartz, [quartz, { ...opal, pin: null }])).toBe('last_administrator');
    expect(
      run({ ...demote('quartz'), roles: ['lead', 'administrator'] } as PersonCommand, quartz, [quartz]),
    ).toMatchObject([{ roles: ['lead', 'administrator'] }]);
    expect(run(demote('opal'), quartz, everyone, false)).toBe('pin_required');
  });

  it('closes the account of one who leaves, never their own, never the last administrator', () => {
    const close = (personId: string): PersonCommand => ({
      kind: 'deactivatePerson',
      personId,
      reason: 'Left.',
    });
    expect(run(close('amber'))).toMatchObject([{ kind: 'personDeactivated', reason: 'Left.' }]);
    expect(run(close('quartz'))).toBe('own_account');
    expect(run(close('quartz'), opal, [quartz, { ...opal, pin: null }])).toBe('last_administrator');
    expect(run(close('gone'))).toBe('person_left');
    expect(run(close('nobody'))).toBe('no_such_person');
  });

  it('does nothing more to an account that is closed', () => {
    expect(run({ kind: 'setBadge', personId: 'gone', badge: 'BADGE-NEW' })).toBe('person_left');
    expect(run({ kind: 'setPin', personId: 'gone', newPin: '2491' })).toBe('person_left');
  });
});

describe('everyone', () => {
  it('sets their own PIN with the old one', () => {
    const command: PersonCommand = { kind: 'setOwnPin', newPin: '2491' };
    expect(run(command, amber)).toMatchObject([{ kind: 'pinSet', personId: 'amber', byPersonId: 'amber' }]);
    expect(run(command, amber, everyone, false)).toBe('pin_required');
  });
});

describe('the shape of these commands', () => {
  it('lets no role stand twice, no person without a role and no unknown field through', () => {
    const good = { kind: 'setRoles', personId: 'amber', roles: ['technician'] };
    expect(personCommandSchema.safeParse(good).success).toBe(true);
    for (const roles of [[], ['technician', 'technician'], ['owner']]) {
      expect(personCommandSchema.safeParse({ ...good, roles }).success).toBe(false);
    }
    expect(personCommandSchema.safeParse({ ...good, byPersonId: 'opal' }).success).toBe(false);
    expect(personCommandSchema.safeParse({ kind: 'deletePerson', personId: 'amber' }).success).toBe(false);
  });
});
