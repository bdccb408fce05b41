import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { StoreFault } from '../../../electron/station/store/store-fault.ts';
import { demoPins } from '../test-station.ts';
import { TestServer, type TestSocket } from './test-server.ts';

const station = new TestServer();
beforeAll(async () => {
  await station.start();
});
afterAll(() => station.end());

function lastPicture({ news }: TestSocket) {
  return news.flatMap((item) => (item.news === 'snapshot' ? [item.snapshot] : [])).at(-1);
}

describe('a screen that was left signed in', () => {
  it('is locked when it is opened again after twenty minutes, before it can do anything', async () => {
    const cookie = await station.enter();
    const left = await station.screen(cookie);
    expect(await left.codeOf('signIn', { personId: 'amber', pin: demoPins.amber })).toBe('taken');
    left.cut();
    station.clock.moveOn(19 * 60_000);
    const soon = await station.screen(cookie);
    await expect.poll(() => lastPicture(soon)?.signedIn?.personId).toBe('amber');
    expect(await soon.codeOf('sheets')).toBe('taken');
    soon.cut();
    station.clock.moveOn(21 * 60_000);
    const late = await station.screen(cookie);
    expect(await late.codeOf('sheets')).toBe('not_signed_in');
    expect(lastPicture(late)?.signedIn).toBeNull();
    late.cut();
  });

  it('is locked by the first call when nobody opened or closed anything', async () => {
    const screen = await station.screen();
    await screen.call('signIn', { personId: 'amber', pin: demoPins.amber });
    station.clock.moveOn(21 * 60_000);
    const command = { kind: 'openJob', serial: 'LATE-1', headId: 'head-slate-short' };
    expect(await screen.codeOf('command', { command })).toBe('not_signed_in');
    screen.cut();
  });

  it('is locked too after a restart', async () => {
    const cookie = await station.enter();
    const screen = await station.screen(cookie);
    await screen.call('signIn', { personId: 'amber', pin: demoPins.amber });
    screen.cut();
    await station.restart();
    station.clock.moveOn(21 * 60_000);
    const again = await station.screen(cookie);
    expect(await again.codeOf('sheets')).toBe('not_signed_in');
    again.cut();
  });
});

describe('a disk that gives no picture for a while', () => {
  it('ends nothing: the next change brings the picture', async () => {
    const screen = await station.screen();
    const { station: served } = station.served;
    const { store } = served;
    const { openJobs } = store;
    await expect.poll(() => lastPicture(screen)).toBeDefined();
    screen.news.length = 0;
    store.openJobs = () => {
      throw new StoreFault('disk_error', 'the disk failed to read; check the disk and try again');
    };
    served.changed();
    expect(await screen.codeOf('signOut')).toBe('taken');
    expect(lastPicture(screen)).toBeUndefined();
    store.openJobs = openJobs;
    served.changed();
    await expect.poll(() => lastPicture(screen)).toBeDefined();
    screen.cut();
  });
});
