import { existsSync, mkdirSync, mkdtempSync, rmSync, utimesSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { withLock } from '../../electron/launch/lock.ts';

const folder = mkdtempSync(join(tmpdir(), 'bandwright-lock-'));
afterAll(() => rmSync(folder, { recursive: true }));
const nobodyWaits = () => {
  throw new Error('nobody should have waited');
};

test('two starts at once do the long step one after the other, and the second says that it waits', async () => {
  const lock = join(folder, 'two');
  const order: string[] = [];
  let waited = 0;
  const first = withLock(lock, nobodyWaits, async () => {
    order.push('first begins');
    await new Promise((done) => setTimeout(done, 300));
    order.push('first ends');
  });
  const second = withLock(
    lock,
    () => {
      waited += 1;
    },
    async () => {
      order.push('second begins');
    },
  );
  await Promise.all([first, second]);
  expect(order).toEqual(['first begins', 'first ends', 'second begins']);
  expect(waited).toBe(1);
  expect(existsSync(lock)).toBe(false);
});

test('a step that fails lets the next one in', async () => {
  const lock = join(folder, 'failing');
  await expect(withLock(lock, nobodyWaits, () => Promise.reject(new Error('no space')))).rejects.toThrow(
    'no space',
  );
  await expect(withLock(lock, nobodyWaits, async () => 'done')).resolves.toBe('done');
});

test('the lock of a start that died is taken over', async () => {
  const lock = join(folder, 'stale');
  mkdirSync(lock);
  const longAgo = new Date(Date.now() - 60_000);
  utimesSync(lock, longAgo, longAgo);
  await expect(
    withLock(
      lock,
      () => undefined,
      async () => 'done',
    ),
  ).resolves.toBe('done');
});
