import { chmodSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openLog } from '../../electron/station/log.ts';
import { temporaryFolder } from './store/bench.ts';

describe('the log', () => {
  it('is JSON lines, one for each thing said, readable by its owner alone', () => {
    const folder = temporaryFolder();
    openLog(folder).error({ code: 'disk_full' }, 'the disk is full');
    openLog(folder).info('opened again');
    const file = join(folder, 'log', 'station.log');
    const lines = readFileSync(file, 'utf8').trim().split('\n');
    expect(lines.map((line) => JSON.parse(line))).toEqual([
      { level: 50, time: expect.any(String), code: 'disk_full', msg: 'the disk is full' },
      { level: 30, time: expect.any(String), msg: 'opened again' },
    ]);
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(statSync(join(folder, 'log')).mode & 0o777).toBe(0o700);
  });

  it('turns over while it is written; two files stay, of bounded size', () => {
    const folder = temporaryFolder();
    const log = openLog(folder, 2000);
    for (let number = 0; number < 500; number += 1) log.info({ number }, 'said');
    const names = readdirSync(join(folder, 'log')).sort();
    expect(names).toEqual(['station.log', 'station.old.log']);
    for (const name of names) expect(statSync(join(folder, 'log', name)).size).toBeLessThan(2200);
    const numbers = ['station.old.log', 'station.log'].flatMap((name) =>
      readFileSync(join(folder, 'log', name), 'utf8')
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line).number),
    );
    expect(numbers.at(-1)).toBe(499);
    expect(numbers).toEqual(numbers.map((_, index) => numbers[0] + index));
  });

  it('keeps secrets out, also those inside of what it is given', () => {
    const folder = temporaryFolder();
    const log = openLog(folder);
    log.error({ pin: '2580', call: { pin: '2580', parameters: { newPin: '2580' } }, key: '2580' }, 'refused');
    const text = readFileSync(join(folder, 'log', 'station.log'), 'utf8');
    expect(text).not.toContain('2580');
    expect(text).toContain('refused');
  });

  it('drops what cannot be written: a full disk or a lost folder does not end the station', () => {
    const folder = temporaryFolder();
    const log = openLog(folder);
    rmSync(join(folder, 'log'), { recursive: true });
    chmodSync(folder, 0o700);
    log.error('nobody hears this');
    expect(readdirSync(folder)).toEqual([]);
  });
});
