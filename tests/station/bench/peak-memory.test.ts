import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { createDecoder } from '../../../drivers/decode.ts';
import { findBuiltInProfile } from '../../../drivers/profiles/index.ts';
import { PeakMemory } from '../../../electron/station/bench/peak-memory.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bandwright-peaks-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

it('a peak that a wrench sends again after the station was started again is refused as a duplicate', () => {
  const profile = findBuiltInProfile('wrench-comma-line');
  if (profile === undefined) throw new Error('no such profile');
  const line = Buffer.from('HD,001,+020.0,lbft,+039,deg,OO,123456A,31/04/17,10:02:50\r\n');
  const file = join(folder, 'peaks.json');
  const before = createDecoder(profile);
  expect(before.push(line).map(({ kind }) => kind)).toEqual(['indication']);
  new PeakMemory(file).keep('wrench-1', before.remembered());

  const remembered = new PeakMemory(file).of('wrench-1');
  const after = createDecoder(profile, remembered === undefined ? {} : { remembered });
  expect(after.push(line)).toMatchObject([{ rejection: { refused: 'duplicate' } }]);
  const next = Buffer.from('HD,002,+020.4,lbft,+039,deg,OO,123456A,31/04/17,10:04:50\r\n');
  expect(after.push(next).map(({ kind }) => kind)).toEqual(['indication']);
});

it('a damaged file of remembered peaks is no reason not to start', () => {
  const file = join(folder, 'peaks.json');
  writeFileSync(file, '{"wrench-1":7');
  expect(new PeakMemory(file).of('wrench-1')).toBeUndefined();
});
