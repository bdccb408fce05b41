import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { expect, test } from 'vitest';
import { missingLibraries } from '../../electron/launch/shared-libraries.ts';

test('a program whose libraries are all there lacks none', async () => {
  expect(await missingLibraries(process.execPath)).toEqual([]);
});

test('libraries that ldd does not find are named', async () => {
  const programs = mkdtempSync(join(tmpdir(), 'bandwright-ldd-'));
  const path = process.env.PATH;
  const listing = [
    '\tlinux-vdso.so.1 (0x00007ffd3b5f2000)',
    '\tlibgtk-3.so.0 => not found',
    '\tlibc.so.6 => /lib/x86_64-linux-gnu/libc.so.6 (0x00007f1)',
    '\tlibnss3.so => not found',
  ];
  writeFileSync(join(programs, 'ldd'), `#!/bin/sh\ncat <<END\n${listing.join('\n')}\nEND\n`);
  chmodSync(join(programs, 'ldd'), 0o755);
  process.env.PATH = `${programs}${delimiter}${path}`;
  try {
    expect(await missingLibraries('/any')).toEqual(['libgtk-3.so.0', 'libnss3.so']);
  } finally {
    process.env.PATH = path;
    rmSync(programs, { recursive: true });
  }
});
