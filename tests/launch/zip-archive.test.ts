import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { readZip } from '../../electron/launch/zip-archive.ts';

const folder = mkdtempSync(join(tmpdir(), 'bandwright-zip-'));
const file = join(folder, 'box.zip');
afterAll(() => rmSync(folder, { recursive: true }));

// Made by Python 3.11's zipfile, with a comment at the end: a folder, one stored file and two deflated ones.
const archive = Buffer.from(
  `UEsDBBQAAAAAAAAAIVAAAAAAAAAAAAAAAAAEAAAAYm94L1BLAwQUAAAAAAAAACFQIjYp9wsAAAALAAAADQAAAGJveC9wbGFpbi50eHRwbGFpbiB0
   ZXh0ClBLAwQUAAAACAAAACFQdln0TBcAAACIEwAAEAAAAGJveC9zdWIvbG9uZy50eHTtwTEBAAAAwqCs61/CFH5AAQAAAABvA1BLAwQUAAAACAAA
   ACFQHZ37BAwAAAAKAAAABwAAAGJveC9ydW5TVtRPyszTL87gAgBQSwECFAMUAAAAAAAAACFQAAAAAAAAAAAAAAAABAAAAAAAAAAAAAAA7UEAAAAA
   Ym94L1BLAQIUAxQAAAAAAAAAIVAiNin3CwAAAAsAAAANAAAAAAAAAAAAAACkgSIAAABib3gvcGxhaW4udHh0UEsBAhQDFAAAAAgAAAAhUHZZ9EwX
   AAAAiBMAABAAAAAAAAAAAAAAAKSBWAAAAGJveC9zdWIvbG9uZy50eHRQSwECFAMUAAAACAAAACFQHZ37BAwAAAAKAAAABwAAAAAAAAAAAAAA7YGd
   AAAAYm94L3J1blBLBQYAAAAABAAEAOAAAADOAAAAFgBtYWRlIGJ5IFB5dGhvbiB6aXBmaWxl`,
  'base64',
);

async function read(
  bytes: Buffer,
  wanted: (name: string) => boolean,
): Promise<Map<string, [number, string]>> {
  writeFileSync(file, bytes);
  const taken = new Map<string, [number, string]>();
  await readZip(file, wanted, async (entry) => {
    taken.set(entry.name, [entry.mode, (await entry.read()).toString()]);
  });
  return taken;
}

test('the wanted files come out as they went in, with their permissions', async () => {
  const taken = await read(archive, (name) => !name.endsWith('/'));
  expect([...taken]).toEqual([
    ['box/plain.txt', [0o644, 'plain text\n']],
    ['box/sub/long.txt', [0o644, 'a'.repeat(5000)]],
    ['box/run', [0o755, '#!/bin/sh\n']],
  ]);
});

test('what is not wanted is left out', async () => {
  expect([...(await read(archive, (name) => name === 'box/run')).keys()]).toEqual(['box/run']);
});

test('a file whose content was altered is refused by its checksum', async () => {
  const altered = Buffer.from(archive);
  altered[altered.indexOf('plain text')] = 0x50;
  await expect(read(altered, (name) => name === 'box/plain.txt')).rejects.toThrow('checksum differs');
});

test('a file that is cut short or is no archive is refused', async () => {
  await expect(read(archive.subarray(0, -60), () => true)).rejects.toThrow('not a zip archive');
  await expect(read(Buffer.from('<!doctype html>'), () => true)).rejects.toThrow('not a zip archive');
});
