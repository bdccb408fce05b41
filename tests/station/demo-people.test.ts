import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { personView } from '../../electron/station/snapshot.ts';
import { demoPins, TestBench } from './test-station.ts';

const bench = new TestBench();
beforeAll(() => bench.open());
afterAll(() => bench.end());

function shownOf(personId: string) {
  const { people } = bench.station.snapshot(bench.screen(null).session);
  return people.find((person) => person.personId === personId)?.demo;
}

describe('the sign-in of the demo workshop', () => {
  it('shows badge and PIN of an invented person, which let in whoever types them', async () => {
    const demo = shownOf('amber');
    expect(demo).toEqual({ badge: 'DEMO-AMBER', pin: demoPins.amber });
    expect(
      await bench.codeOf(bench.screen(null), 'signIn', { badge: demo?.badge, pin: demo?.pin ?? '' }),
    ).toBe('taken');
  });

  it('shows no PIN any more once it was changed, and none of a person who was added', async () => {
    const amber = bench.screen('amber');
    await bench.mustCall(amber, 'manage', {
      command: { kind: 'setOwnPin', newPin: '2491' },
      pin: demoPins.amber,
    });
    expect(shownOf('amber')).toBeUndefined();
    await bench.mustCall(bench.screen('quartz'), 'manage', {
      command: { kind: 'addPerson', personId: 'heath', name: 'Technician Heath', roles: ['technician'] },
    });
    expect(shownOf('heath')).toBeUndefined();
  });

  it('knows no badge and no PIN in the view that every other workshop gives', () => {
    const person = bench.station.people.find({ personId: 'birch' });
    expect(person).toBeDefined();
    if (person !== undefined) expect(Object.keys(personView(person))).toEqual(['personId', 'name', 'roles']);
  });
});
