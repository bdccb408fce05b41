import {
  copyFileSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  createHeadFile,
  type Head,
  headFileName,
  readHead,
  writeHead,
} from '../../../electron/station/store/head-file.ts';
import { temporaryFolder } from './bench.ts';

const headAt = (sequence: number): Head => ({
  sequence,
  hash: 'a'.repeat(64),
  previousSeal: 'b'.repeat(64),
  keyId: 'c'.repeat(64),
  signature: Buffer.alloc(64, sequence).toString('base64'),
});

describe('the signed end beside the database', () => {
  it('is the newest one written, in a file that never grows', () => {
    const folder = temporaryFolder();
    expect(readHead(folder)).toBe('missing');
    for (const sequence of [1, 2, 5, 6, 1_000_000_007, 1_000_000_008]) {
      writeHead(folder, headAt(sequence));
      expect(readHead(folder)).toEqual(headAt(sequence));
      expect(statSync(join(folder, headFileName)).size).toBe(1024);
    }
    expect(readdirSync(folder)).toEqual([headFileName]);
  });

  it('still has the one before while the next is written', () => {
    const folder = temporaryFolder();
    for (const sequence of [7, 8]) writeHead(folder, headAt(sequence));
    const text = readFileSync(join(folder, headFileName), 'latin1');
    expect(text).toContain('"sequence":7');
    expect(text).toContain('"sequence":8');
  });

  it('of an earlier version is read, and written anew with the next', () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, headFileName), `${JSON.stringify(headAt(3))}\n`);
    expect(readHead(folder)).toEqual(headAt(3));
    writeHead(folder, headAt(4));
    expect(readHead(folder)).toEqual(headAt(4));
  });

  it('held open, goes on by turns', () => {
    const folder = temporaryFolder();
    const file = createHeadFile(folder);
    for (const sequence of [1, 2, 3, 4, 5]) {
      file.write(headAt(sequence));
      expect(readHead(folder)).toEqual(headAt(sequence));
    }
    file.close();
    const text = readFileSync(join(folder, headFileName), 'latin1');
    expect(text).toContain('"sequence":4');
  });

  it('held open, is made anew where it was taken away, replaced or written into', () => {
    const folder = temporaryFolder();
    const path = join(folder, headFileName);
    const file = createHeadFile(folder);
    const troubles = [
      () => rmSync(path),
      () => renameSync(path, `${path}.away`),
      () => writeFileSync(path, Buffer.alloc(1024)),
      () => truncateSync(path, 5),
      () => {
        renameSync(path, `${path}.away`);
        copyFileSync(`${path}.away`, path);
      },
      () => writeFileSync(path, readFileSync(path, 'latin1').replace('"sequence":', '"sequence":1')),
    ];
    troubles.forEach((trouble, index) => {
      for (const sequence of [3, 4, 5]) file.write(headAt(10 * index + sequence));
      trouble();
      file.write(headAt(10 * index + 6));
      expect(readHead(folder), String(trouble)).toEqual(headAt(10 * index + 6));
    });
    file.close();
  });

  it('cannot be read when a part of it was spoiled, and is whole again with the next', () => {
    const folder = temporaryFolder();
    const file = join(folder, headFileName);
    for (const sequence of [7, 8]) writeHead(folder, headAt(sequence));
    const whole = readFileSync(file);
    const spoiled: Buffer[] = [
      whole.subarray(0, 700),
      whole.subarray(0, 0),
      Buffer.alloc(whole.length),
      Buffer.from(whole.toString('latin1').replace('"hash"', '"hush"'), 'latin1'),
    ];
    for (const bytes of spoiled) {
      rmSync(file);
      writeFileSync(file, bytes);
      expect(readHead(folder)).toBe('unreadable');
      writeHead(folder, headAt(9));
      expect(readHead(folder)).toEqual(headAt(9));
    }
  });
});
