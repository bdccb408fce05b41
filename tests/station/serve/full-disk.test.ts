import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { lowBytes } from '../../../electron/station/disk-watch.ts';
import type { Snapshot } from '../../../shared/contract.ts';
import { demoPins } from '../test-station.ts';
import { TestServer, type TestSocket } from './test-server.ts';

/** A file system of its own, where this user may mount one (root); else no file of this process may grow. */
function makeFullable(): { folder: string; fill(): void; free(): void; remove(): void } {
  const around = mkdtempSync(join(tmpdir(), 'bandwright-full-'));
  const folder = join(around, 'data');
  mkdirSync(folder);
  const limit = (bytes: string) =>
    execFileSync('prlimit', ['--pid', String(process.pid), `--fsize=${bytes}:`]);
  const remove = () => rmSync(around, { recursive: true, force: true });
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=16m,mode=700', 'none', folder], { stdio: 'ignore' });
  } catch {
    return { folder, fill: () => limit('1'), free: () => limit('unlimited'), remove };
  }
  const ballast = join(folder, 'ballast');
  return {
    folder,
    fill() {
      const { bavail, bsize } = statfsSync(folder);
      writeFileSync(ballast, Buffer.alloc(bavail * bsize));
    },
    free: () => existsSync(ballast) && rmSync(ballast),
    remove() {
      execFileSync('umount', [folder]);
      remove();
    },
  };
}

let disk: ReturnType<typeof makeFullable>;
let station: TestServer;
beforeEach(async () => {
  disk = makeFullable();
  station = await new TestServer(disk.folder).start();
});
afterEach(async () => {
  disk.free();
  await station.end();
  disk.remove();
});

function lastPicture({ news }: TestSocket): Snapshot | undefined {
  return news.flatMap((item) => (item.news === 'snapshot' ? [item.snapshot] : [])).at(-1);
}

const fullOrFailing = expect.stringMatching(/^disk_(full|error)$/);

function faultsOn(screen: TestSocket): readonly string[] {
  return lastPicture(screen)?.faults.map(({ code }) => code) ?? [];
}

describe('a served station whose disk is full', () => {
  it('says so to everybody, answers what needs no disk, ends nothing, and goes on when there is room', async () => {
    const cookie = await station.enter();
    const screen = await station.screen(cookie);
    const other = await station.screen(cookie);
    const open = { command: { kind: 'openJob', serial: 'FULL-1', headId: 'head-slate-short' } };
    expect(await screen.codeOf('signIn', { personId: 'amber', pin: demoPins.amber })).toBe('taken');
    disk.fill();
    expect(await screen.codeOf('command', open)).toMatch(/^fault disk_(full|error)$/);
    expect(await screen.codeOf('command', open)).toMatch(/^fault disk_(full|error)$/);
    for (const one of [screen, other]) {
      await expect
        .poll(() =>
          lastPicture(one)
            ?.faults.map(({ code }) => code)
            .join(),
        )
        .toMatch(/^disk_/);
    }
    expect(await screen.codeOf('lookUpSerial', { serial: 'FULL-1' })).toBe('taken');
    expect(await screen.codeOf('sheets')).toBe('taken');
    // The minute is over after which it is noted who was at the screen, and the twenty after which it is locked.
    station.clock.moveOn(2 * 60_000);
    expect(await screen.codeOf('sheets')).toBe('taken');
    station.clock.moveOn(21 * 60_000);
    expect(await screen.codeOf('sheets')).toBe('not_signed_in');
    disk.free();
    expect(await screen.codeOf('signIn', { personId: 'amber', pin: demoPins.amber })).toBe('taken');
    expect(await screen.codeOf('command', open)).toBe('taken');
    await expect.poll(() => faultsOn(other)).not.toContainEqual(fullOrFailing);
    expect(lastPicture(other)?.openJobs.map(({ serial }) => serial)).toEqual(['FULL-1']);
  });

  it('has said before that there is little room', async () => {
    const screen = await station.screen();
    const isSmall = statfsSync(disk.folder).bavail * statfsSync(disk.folder).bsize < lowBytes;
    await expect.poll(() => faultsOn(screen).includes('disk_low')).toBe(isSmall);
    screen.cut();
  });

  it('lets nobody in with a PIN whose try could not be noted: guessing would be free', async () => {
    const screen = await station.screen();
    disk.fill();
    expect(await screen.codeOf('signIn', { personId: 'amber', pin: demoPins.amber })).toMatch(
      /^fault disk_(full|error)$/,
    );
    expect(await screen.codeOf('sheets')).toBe('not_signed_in');
  });
});
