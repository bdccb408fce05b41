import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { pinPolicy } from '../../../shared/people/pin-policy.ts';
import { demoPins } from '../test-station.ts';
import { TestServer } from './test-server.ts';

let station: TestServer;
beforeEach(async () => {
  station = await new TestServer().start();
});
afterEach(() => station.end());

const wrong = { personId: 'amber', pin: '0001' };
const right = { personId: 'amber', pin: demoPins.amber };

describe('guessing a PIN', () => {
  it('is slowed down over many connections at once as over one', async () => {
    const cookie = await station.enter();
    const screens = await Promise.all(Array.from({ length: 8 }, () => station.screen(cookie)));
    const guesses = screens.flatMap((screen) =>
      ['0001', '0002', '0003', '0004'].map((pin) => screen.codeOf('signIn', { personId: 'amber', pin })),
    );
    const codes = await Promise.all(guesses);
    // Free tries and the one after them are looked at; every other one has to wait.
    expect(codes.filter((code) => code === 'pin_wrong')).toHaveLength(pinPolicy.freeTries + 1);
    expect(codes.filter((code) => code === 'pin_wait')).toHaveLength(32 - pinPolicy.freeTries - 1);
    expect(await screens[0]?.codeOf('signIn', right)).toBe('pin_wait');
    for (const screen of screens) screen.cut();
  });

  it('is not made free by cutting the connection, nor by the badge, nor at another screen', async () => {
    for (let tries = 0; tries <= pinPolicy.freeTries; tries += 1) {
      const screen = await station.screen();
      void screen.call('signIn', wrong);
      // Until the station has it: the answer to a later call has come.
      await screen.call('signOut');
      screen.cut();
    }
    const screen = await station.screen();
    expect(await screen.codeOf('signIn', right)).toBe('pin_wait');
    expect(await screen.codeOf('signIn', { badge: 'DEMO-AMBER', pin: demoPins.amber })).toBe('pin_wait');
    screen.cut();
  });

  it('stays slow after a restart', async () => {
    let screen = await station.screen();
    for (let tries = 0; tries <= pinPolicy.freeTries; tries += 1) await screen.call('signIn', wrong);
    await station.restart();
    screen = await station.screen();
    expect(await screen.codeOf('signIn', right)).toBe('pin_wait');
    station.clock.moveOn(pinPolicy.firstWaitSeconds * 1000);
    expect(await screen.codeOf('signIn', right)).toBe('taken');
    screen.cut();
  });

  it('locks the account after ten wrong ones, over restarts, however long one waits', async () => {
    let wrongOnes = 0;
    for (let tries = 0; tries < 40 && wrongOnes < pinPolicy.lockedAfter; tries += 1) {
      const screen = await station.screen();
      if ((await screen.codeOf('signIn', wrong)) === 'pin_wrong') wrongOnes += 1;
      station.clock.moveOn(pinPolicy.longestWaitSeconds * 1000);
      screen.cut();
      if (tries === 5) await station.restart();
    }
    expect(wrongOnes).toBe(pinPolicy.lockedAfter);
    await station.restart();
    station.clock.moveOn(365 * 24 * 3_600_000);
    const screen = await station.screen();
    expect(await screen.codeOf('signIn', right)).toBe('pin_locked');
    // Nobody else is kept out.
    expect(await screen.codeOf('signIn', { personId: 'cedar', pin: demoPins.cedar })).toBe('taken');
    screen.cut();
  });
});
