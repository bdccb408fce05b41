import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { ManagementCommandInput } from '../../shared/management-command.ts';
import { demoPins, TestBench, type TestScreen } from './test-station.ts';

let bench: TestBench;
beforeEach(async () => {
  bench = await new TestBench().open();
});
afterEach(() => bench.end());

const minute = 60_000;
const newPin = '2491';
const heath: ManagementCommandInput = {
  kind: 'addPerson',
  personId: 'heath',
  name: 'Technician Heath',
  roles: ['technician'],
  badge: 'BADGE-HEATH',
};

function administrator(): TestScreen {
  return bench.screen('quartz');
}

function manage(screen: TestScreen, command: ManagementCommandInput, pin?: string) {
  return bench.codeOf(screen, 'manage', pin === undefined ? { command } : { command, pin });
}

function signIn(personId: string, pin: string) {
  return bench.codeOf(bench.screen(null), 'signIn', { personId, pin });
}

describe('a new person', () => {
  it('signs in with badge and PIN once both are set, also after a restart', async () => {
    expect(await manage(administrator(), heath)).toBe('taken');
    expect(await signIn('heath', newPin)).toBe('pin_not_set');
    const setPin: ManagementCommandInput = { kind: 'setPin', personId: 'heath', newPin };
    expect(await manage(administrator(), setPin)).toBe('pin_required');
    expect(await manage(administrator(), setPin, '0000')).toBe('pin_wrong');
    expect(await manage(administrator(), setPin, demoPins.quartz)).toBe('taken');
    expect(await signIn('heath', newPin)).toBe('taken');
    await bench.restart();
    const screen = bench.screen(null);
    const { person } = await bench.mustCall(screen, 'signIn', { badge: 'BADGE-HEATH', pin: newPin });
    expect(person).toEqual({ personId: 'heath', name: 'Technician Heath', roles: ['technician'] });
  });

  it('leaves no PIN in clear anywhere on the disk', async () => {
    await manage(administrator(), heath);
    await manage(
      administrator(),
      { kind: 'setPin', personId: 'heath', newPin: '730194268' },
      demoPins.quartz,
    );
    const stored = JSON.stringify(bench.station.store.readStream('person/heath'));
    expect(stored).toContain('hashBase64');
    for (const file of readdirSync(bench.folder, { recursive: true, withFileTypes: true })) {
      if (!file.isFile()) continue;
      const bytes = readFileSync(join(file.parentPath, file.name));
      expect([file.name, bytes.includes('730194268')]).toEqual([file.name, false]);
    }
  });

  it('changes their own PIN with the old one', async () => {
    const screen = bench.screen('amber');
    expect(await manage(screen, { kind: 'setOwnPin', newPin }, '0000')).toBe('pin_wrong');
    expect(await manage(screen, { kind: 'setOwnPin', newPin: '1111' }, demoPins.amber)).toBe('pin_too_plain');
    expect(await manage(screen, { kind: 'setOwnPin', newPin }, demoPins.amber)).toBe('taken');
    expect(await signIn('amber', demoPins.amber)).toBe('pin_wrong');
    expect(await signIn('amber', newPin)).toBe('taken');
  });
});

describe('a person who leaves', () => {
  it('is signed out everywhere and comes in no more, by name or badge', async () => {
    const screen = bench.screen('birch');
    expect(await bench.codeOf(screen, 'sheets', {})).toBe('taken');
    expect(
      await manage(administrator(), { kind: 'deactivatePerson', personId: 'birch', reason: 'Left.' }),
    ).toBe('taken');
    expect(await bench.codeOf(screen, 'sheets', {})).toBe('not_signed_in');
    expect(await signIn('birch', demoPins.birch)).toBe('person_unknown');
    expect(
      await bench.codeOf(bench.screen(null), 'signIn', { badge: 'DEMO-BIRCH', pin: demoPins.birch }),
    ).toBe('person_unknown');
    // The badge is free for the next one, the name stays for the records.
    expect(await manage(administrator(), { ...heath, badge: 'DEMO-BIRCH' })).toBe('taken');
    const { people } = await bench.mustCall(administrator(), 'peopleAdmin', {});
    expect(people.find(({ personId }) => personId === 'birch')).toMatchObject({
      name: 'Technician Birch',
      active: false,
      badge: null,
    });
  });

  it('is never the last administrator', async () => {
    expect(
      await manage(administrator(), { kind: 'deactivatePerson', personId: 'quartz', reason: 'Left.' }),
    ).toBe('own_account');
    const demote: ManagementCommandInput = { kind: 'setRoles', personId: 'quartz', roles: ['auditor'] };
    expect(await manage(administrator(), demote, demoPins.quartz)).toBe('last_administrator');
    const promote: ManagementCommandInput = {
      kind: 'setRoles',
      personId: 'flint',
      roles: ['auditor', 'administrator'],
    };
    expect(await manage(administrator(), promote, demoPins.quartz)).toBe('taken');
    expect(await manage(administrator(), demote, demoPins.quartz)).toBe('taken');
    // The roles count from that moment, on every screen.
    expect(await bench.codeOf(administrator(), 'peopleAdmin', {})).toBe('not_allowed');
    expect(await bench.codeOf(bench.screen('flint'), 'peopleAdmin', {})).toBe('taken');
  });
});

describe('wrong PINs', () => {
  it('cost waiting time that a restart of the station does not shorten', async () => {
    for (let tries = 0; tries < 3; tries += 1) expect(await signIn('amber', '0000')).toBe('pin_wrong');
    expect(await signIn('amber', demoPins.amber)).toBe('pin_wait');
    await bench.restart();
    expect(await signIn('amber', demoPins.amber)).toBe('pin_wait');
    bench.clock.moveOn(6000);
    expect(await signIn('amber', demoPins.amber)).toBe('taken');
  });

  it('lock the account after ten, for management commands as well, until an administrator sets a new PIN', async () => {
    const screen = bench.screen('dune');
    for (let tries = 0; tries < 10; tries += 1) {
      bench.clock.moveOn(6 * minute);
      expect(await manage(screen, { kind: 'setOwnPin', newPin }, '0000')).toBe('pin_wrong');
    }
    bench.clock.moveOn(24 * 60 * minute);
    await bench.restart();
    expect(await signIn('dune', demoPins.dune)).toBe('pin_locked');
    const before = await bench.mustCall(administrator(), 'peopleAdmin', {});
    expect(before.people.filter(({ pinLocked }) => pinLocked).map(({ personId }) => personId)).toEqual([
      'dune',
    ]);
    expect(await manage(administrator(), { kind: 'setPin', personId: 'dune', newPin }, demoPins.quartz)).toBe(
      'taken',
    );
    expect(await signIn('dune', newPin)).toBe('taken');
    await bench.restart();
    expect(await signIn('dune', newPin)).toBe('taken');
  });
});

describe('the list of accounts', () => {
  it('shows roles, badge and whether there is a PIN, never its hash', async () => {
    const { people } = await bench.mustCall(administrator(), 'peopleAdmin', {});
    expect(people).toHaveLength(6);
    expect(people[0]).toEqual({
      personId: 'amber',
      name: 'Technician Amber',
      roles: ['technician'],
      badge: 'DEMO-AMBER',
      active: true,
      invented: true,
      hasPin: true,
      pinLocked: false,
    });
  });
});
