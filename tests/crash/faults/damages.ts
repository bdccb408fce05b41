import {
  closeSync,
  openSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import type { Random } from '../../../drivers/simulated/random.ts';
import { databaseName } from '../../../electron/station/store/database.ts';
import { headFileName } from '../../../electron/station/store/head-file.ts';

/** A way in which a file goes bad. */
export type Damage = (file: string, random: Random) => void;

export const damages: Readonly<Record<string, Damage>> = {
  'cut off': (file, random) => truncateSync(file, Math.floor(statSync(file).size * random.next())),
  emptied: (file) => truncateSync(file, 0),
  'a block of zeros in it': (file, random) =>
    overwrite(file, random, Buffer.alloc(Math.min(4096, statSync(file).size))),
  'some bytes changed': (file, random) => {
    for (let count = 0; count < 8; count += 1) overwrite(file, random, noise(1, random));
  },
  'nothing but noise': (file, random) => writeFileSync(file, noise(statSync(file).size, random)),
  'another file in its place': (file) =>
    writeFileSync(file, '{"not":"what belongs here","nested":[[[[]]]],"__proto__":{"x":1}}\n'),
  gone: (file) => rmSync(file),
};

/** Files of the evidence, and those that only make work easier. */
export const evidenceFiles = [
  databaseName,
  `${databaseName}-wal`,
  headFileName,
  'signing-key.pem',
  'station.lock',
] as const;
export const convenienceFiles = ['sessions.json', 'pin-attempts.json', 'bench.json', 'peaks.json'] as const;

export function noise(length: number, random: Random): Buffer {
  return Buffer.from(Array.from({ length }, () => Math.floor(random.next() * 256)));
}

export function contentOf(folder: string, name: string): Buffer | undefined {
  try {
    return readFileSync(join(folder, name));
  } catch {
    return undefined;
  }
}

function overwrite(file: string, random: Random, bytes: Buffer): void {
  const place = Math.floor(random.next() * Math.max(1, statSync(file).size - bytes.length));
  const descriptor = openSync(file, 'r+');
  writeSync(descriptor, bytes, 0, bytes.length, place);
  closeSync(descriptor);
}
