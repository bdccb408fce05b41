import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type Head, headFileName, readHead, writeHead } from '../../../electron/station/store/head-file.ts';
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
