import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callParameters } from '../../../shared/contract.ts';
import { demoPins } from '../test-station.ts';
import { TestServer } from './test-server.ts';

const station = new TestServer();
beforeAll(async () => {
  await station.start();
});
afterAll(() => station.end());

/** Names that every object of JavaScript answers to. */
const inheritedNames = [
  'constructor',
  '__proto__',
  'prototype',
  'toString',
  'valueOf',
  'hasOwnProperty',
  'isPrototypeOf',
  '__defineGetter__',
  '__lookupSetter__',
  'then',
];

describe('a message that is no call', () => {
  it.each([
    ['no JSON', 'signIn'],
    ['cut-off JSON', '{"id":1,"call":"sheets"'],
    ['a list', '[]'],
    ['null', 'null'],
    ['no number', '{"call":"sheets","parameters":{}}'],
    ['a number that is none', '{"id":1.5,"call":"sheets","parameters":{}}'],
    ['a negative number', '{"id":-1,"call":"sheets","parameters":{}}'],
    ['a call that is no text', '{"id":1,"call":["sheets"],"parameters":{}}'],
    ['a call of 1000 letters', JSON.stringify({ id: 1, call: 'x'.repeat(1000), parameters: {} })],
    ['more than a call', '{"id":1,"call":"sheets","parameters":{},"admin":true}'],
    ['a polluting key', '{"id":1,"call":"sheets","parameters":{},"__proto__":{"x":1}}'],
    ['60,000 brackets', '['.repeat(60_000)],
    ['an empty message', ''],
  ])('(%s) closes that connection and no other', async (_, text) => {
    const other = await station.screen();
    const screen = await station.screen();
    screen.raw.send(text);
    expect(await screen.closed).toBe(1008);
    expect(await other.codeOf('signOut')).toBe('taken');
    other.cut();
  });

  it('closes the connection too when it comes as bytes', async () => {
    const screen = await station.screen();
    screen.raw.send(Buffer.from('{"id":1,"call":"sheets","parameters":{}}'));
    expect(await screen.closed).toBe(1008);
  });

  it('is not read at all when it is larger than any call', async () => {
    const screen = await station.screen();
    screen.raw.send(JSON.stringify({ id: 1, call: 'sheets', parameters: { x: 'x'.repeat(5_000_000) } }));
    expect([1006, 1009]).toContain(await screen.closed);
    const next = await station.screen();
    expect(await next.codeOf('signOut')).toBe('taken');
    next.cut();
  });
});

describe('a call that there is not', () => {
  it('is refused by name, also the names that every object has', async () => {
    const screen = await station.screen();
    await screen.call('signIn', { personId: 'quartz', pin: demoPins.quartz });
    for (const name of ['', 'nonsense', 'SIGNIN', 'signIn ', 'call', ...inheritedNames]) {
      expect([name, await screen.codeOf(name)]).toEqual([name, 'no_such_call']);
    }
    screen.cut();
  });
});

describe('parameters of the wrong shape', () => {
  const shapes: readonly unknown[] = [
    null,
    [],
    'text',
    1,
    true,
    { unknown: 1 },
    Object.fromEntries(inheritedNames.map((name) => [name, {}])),
  ];

  it.each(Object.keys(callParameters))('are refused by %s and named', async (call) => {
    const screen = await station.screen();
    await screen.call('signIn', { personId: 'quartz', pin: demoPins.quartz });
    for (const shape of shapes) expect(await screen.codeOf(call, shape)).toBe('bad_parameters');
    screen.cut();
  });

  it('change no prototype', async () => {
    const screen = await station.screen();
    screen.raw.send(
      '{"id":900,"call":"lookUpSerial","parameters":{"serial":"x","__proto__":{"polluted":1}}}',
    );
    screen.raw.send('{"id":901,"call":"sheets","parameters":{"constructor":{"prototype":{"polluted":1}}}}');
    expect(await screen.codeOf('signOut')).toBe('taken');
    expect('polluted' in {}).toBe(false);
    screen.cut();
  });

  it('with names of objects as ids find nothing', async () => {
    const screen = await station.screen();
    for (const name of inheritedNames) {
      expect(await screen.codeOf('signIn', { personId: name, pin: '0000' })).toBe('person_unknown');
      expect(await screen.codeOf('signIn', { badge: name, pin: '0000' })).toBe('person_unknown');
    }
    await screen.call('signIn', { personId: 'amber', pin: demoPins.amber });
    for (const name of inheritedNames) {
      expect(await screen.codeOf('takeInHand', { jobId: name })).toBe('no_such_job');
      expect(await screen.codeOf('document', { jobId: name, kind: 'record' })).toBe('no_record');
      expect(await screen.codeOf('assignInstrument', { instrumentId: name })).not.toMatch(/taken|fault/);
      expect(await screen.codeOf('lookUpSerial', { serial: name })).toBe('taken');
    }
    screen.cut();
  });
});
