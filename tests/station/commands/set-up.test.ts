import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { setUpCommand } from '../../../electron/station/commands/set-up.ts';
import { defaultDataFolder, workshopDataFolder } from '../../../electron/station/data-folder.ts';
import { idOfName } from '../../../electron/station/people/first-administrator.ts';
import { Station } from '../../../electron/station/station.ts';
import { managementCommandSchema } from '../../../shared/management-command.ts';
import { managementCommands } from '../../shared/people/management-commands.ts';
import { openTestStore, temporaryFolder } from '../store/bench.ts';
import { call } from './calling.ts';
import { bandwright } from './running.ts';

const silentLog = { info: () => undefined, warn: () => undefined, error: () => undefined };
const words = { workshop: 'Invented real workshop', administrator: 'Ursula Öhm', pin: '4819', json: true };

it('sets a real workshop up, whose administrator signs in and adds the others', async () => {
  const folder = join(temporaryFolder(), 'workshop');
  const { code, out } = await call(setUpCommand, '', [], { ...words, data: folder });
  expect(code).toBe(0);
  const { keyId, ...rest } = JSON.parse(out);
  expect(rest).toEqual({
    dataFolder: folder,
    workshop: 'Invented real workshop',
    administrator: { personId: 'ursula-ohm', name: 'Ursula Öhm' },
  });
  const station = await Station.open({ dataFolder: folder, log: silentLog, clock: createSystemClock() });
  try {
    expect(station.store.keyId).toBe(keyId);
    expect(station.simulated).toBe(false);
    expect(station.people.active().map(({ name }) => name)).toEqual(['Ursula Öhm']);
    const person = station.people.find({ personId: 'ursula-ohm' });
    if (person === undefined) throw new Error('the administrator is missing');
    expect(await station.people.checkPin(person, '4819')).toEqual({ ok: true, value: null });
    const by = { person, pinVerified: true };
    const added = await station.management.command(
      { kind: 'addPerson', personId: 'heath', name: 'Heath', roles: ['technician'] },
      by,
    );
    expect(added).toEqual({ ok: true, value: { id: 'heath', version: 1 } });
    expect(station.people.registry.get('heath')?.invented).toBe(false);
    // Nothing simulated ever comes in.
    const command = managementCommandSchema.parse(managementCommands.registerInstrument);
    const simulated = await station.management.command(command, by);
    expect(simulated).toMatchObject({ ok: false, error: { code: 'simulated_instrument' } });
  } finally {
    await station.close();
  }
});

it('refuses a folder that has a workshop, the demo included, and changes nothing there', async () => {
  const folder = temporaryFolder();
  await call(setUpCommand, '', [], { ...words, data: folder });
  const again = await call(setUpCommand, '', [], { ...words, workshop: 'Another', data: folder });
  expect(again).toMatchObject({
    code: 2,
    out: '',
    error: expect.stringContaining('is the folder of "Invented real workshop"'),
  });
  const begun = temporaryFolder();
  const store = openTestStore(begun);
  store.append({
    stream: 'person/x',
    expectedVersion: 0,
    personId: null,
    events: [{ kind: 'personAdded', body: {} }],
  });
  expect(await call(setUpCommand, '', [], { ...words, data: begun })).toMatchObject({
    code: 2,
    error: expect.stringContaining('cut short'),
  });
});

it.each([
  [{ workshop: undefined }, /^--workshop: missing/],
  [{ workshop: '   ' }, /^--workshop: must have 1 to 100 characters/],
  [{ administrator: undefined }, /^--administrator: missing/],
  [{ administrator: '木' }, /^--id: "木" makes no id/],
  [{ id: 'a b' }, /^--id: "a b" is none/],
  [{ pin: undefined }, /^--pin: missing/],
  [{ pin: '1234' }, /^--pin: A PIN of equal or running digits/],
  [{ pin: '12' }, /^--pin: A PIN has 4 to 12 digits/],
])('refuses %j in one line and makes no folder', async (change, sentence) => {
  const folder = join(temporaryFolder(), 'workshop');
  const result = await call(setUpCommand, '', [], { ...words, ...change, data: folder });
  expect(result).toMatchObject({ code: 2, out: '', error: expect.stringMatching(sentence) });
  expect(existsSync(folder)).toBe(false);
});

it('runs as a command of its own, with the PIN on standard input', async () => {
  const folder = join(temporaryFolder(), 'workshop');
  const options = ['--workshop', 'Invented', '--administrator', 'Ursula', '--data', folder];
  const done = await bandwright(['set-up', ...options, '--pin', '-'], '4819\n');
  expect(done).toMatchObject({ code: 0, out: expect.stringContaining('administrator Ursula (ursula)') });
  expect(done.out + done.error).not.toContain('4819');
});

it('makes the folder where Bandwright looks from then on, never the demo folder', () => {
  const environment = { XDG_DATA_HOME: temporaryFolder() };
  expect(workshopDataFolder(environment)).toBe(join(environment.XDG_DATA_HOME, 'bandwright', 'workshop'));
  expect(defaultDataFolder(environment)).toBe(join(environment.XDG_DATA_HOME, 'bandwright', 'demo'));
  expect(workshopDataFolder({ BANDWRIGHT_DATA: 'there' })).toBe('there');
  expect(defaultDataFolder({ BANDWRIGHT_DATA: 'there' })).toBe('there');
});

it('makes plain ids of names', () => {
  expect(idOfName('Ursula Öhm-Weiß')).toBe('ursula-ohm-weiss');
  expect(idOfName('  Åsa  3. ')).toBe('asa-3');
  expect(idOfName('木')).toBe('');
});
