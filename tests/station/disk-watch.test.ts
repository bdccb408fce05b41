import { describe, expect, it } from 'vitest';
import { freeBytesOf, lowBytes, lowDiskSentence, watchDisk } from '../../electron/station/disk-watch.ts';
import { temporaryFolder } from './store/bench.ts';

const megabyte = 1024 * 1024;

/** A watch over a disk of which the test says how much is free. */
function watchInvented(): { look(free: number | Error): Promise<readonly string[]>; stop(): void } {
  let free: number | Error = 0;
  let said: string[] = [];
  const watch = watchDisk({
    folder: '/invented',
    freeBytes: async () => {
      if (free instanceof Error) throw free;
      return free;
    },
    onLow: (bytes) => said.push(`low ${bytes / megabyte}`),
    onEnough: () => said.push('enough'),
  });
  return {
    stop: watch.stop,
    async look(now) {
      free = now;
      said = [];
      await watch.look();
      return said;
    },
  };
}

describe('the watch over the disk', () => {
  it('says once that there is little room, again at half of it, and that there is room again', async () => {
    const watch = watchInvented();
    expect(await watch.look(lowBytes)).toEqual([]);
    expect(await watch.look(400 * megabyte)).toEqual(['low 400']);
    expect(await watch.look(390 * megabyte)).toEqual([]);
    expect(await watch.look(201 * megabyte)).toEqual([]);
    expect(await watch.look(199 * megabyte)).toEqual(['low 199']);
    expect(await watch.look(450 * megabyte)).toEqual([]);
    expect(await watch.look(lowBytes)).toEqual(['enough']);
    expect(await watch.look(2 * lowBytes)).toEqual([]);
    expect(await watch.look(10 * megabyte)).toEqual(['low 10']);
    watch.stop();
  });

  it('says nothing of a disk that does not answer', async () => {
    const watch = watchInvented();
    expect(await watch.look(new Error('EIO'))).toEqual([]);
    watch.stop();
  });

  it('asks the system for a real folder', async () => {
    expect(await freeBytesOf(temporaryFolder())).toBeGreaterThan(0);
    await expect(freeBytesOf('/nothing/here')).rejects.toThrow();
  });

  it('says how much is left', () => {
    expect(lowDiskSentence(150.7 * megabyte)).toContain('150 MB');
  });
});
