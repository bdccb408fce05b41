import { spawn } from 'node:child_process';
import { createHash, createPublicKey, verify } from 'node:crypto';
import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import canonicalize from 'canonicalize';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { databaseName } from '../../electron/station/store/database.ts';
import { openEvidence } from '../../electron/station/store/open-store.ts';
import { cellsOf } from './audit/sqlite-cells.ts';
import { alterByte } from './audit/tampering.ts';
import { bandwright, type Finished } from './commands/running.ts';

const projectFolder = resolve(import.meta.dirname, '../..');
const folder = mkdtempSync(join(tmpdir(), 'bandwright-demo-'));
const data = join(folder, 'data');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What a script may rely on in the last line of `demo --json` (written down in the blueprint of the command line). */
const recordSchema = z.looseObject({
  serial: z.string(),
  simulated: z.literal(true),
  outcome: z.literal('released'),
  jobId: z.string(),
  hash: z.string().regex(/^[0-9a-f]{64}$/),
  keyId: z.string().regex(/^[0-9a-f]{64}$/),
  signature: z.base64(),
  instruments: z.array(z.looseObject({ instrumentId: z.string(), simulated: z.literal(true) })),
  captures: z.array(
    z.looseObject({
      quantity: z.enum(['mass', 'torque']),
      value: z.number(),
      unit: z.string(),
      decision: z.literal('pass'),
      conformance: z.number().min(0.95).max(1),
      sequence: z.int(),
      indication: z.looseObject({ text: z.string(), unit: z.string() }),
      instrument: z.looseObject({ instrumentId: z.string(), certificateNumber: z.string() }),
      rawBytes: z.base64(),
    }),
  ),
});

const serialSchema = z.looseObject({ visits: z.array(z.looseObject({ record: z.unknown() })) });

/** The demo as its own process; how many pseudo-terminals it has open is looked at when it tells of its first step. */
async function runDemo(): Promise<Finished & { readonly terminals: number }> {
  const commandLine = join(projectFolder, 'electron', 'station', 'command-line.ts');
  const child = spawn(process.execPath, [commandLine, 'demo', '--json', '--data', data], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let out = '';
  let error = '';
  let terminals = 0;
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    out += text;
  });
  createInterface({ input: child.stderr }).on('line', (line) => {
    error += `${line}\n`;
    if (terminals === 0 && /: done$/.test(line)) terminals = openTerminals(child.pid);
  });
  const code = await new Promise<number | null>((done) => child.on('close', done));
  return { code, out, error, terminals };
}

function openTerminals(pid: number | undefined): number {
  const descriptors = `/proc/${pid}/fd`;
  return readdirSync(descriptors).filter((name) => {
    try {
      return readlinkSync(join(descriptors, name)).startsWith('/dev/pts/');
    } catch {
      return false;
    }
  }).length;
}

let finished: Awaited<ReturnType<typeof runDemo>>;
beforeAll(async () => {
  finished = await runDemo();
}, 90_000);

function printedRecord() {
  return recordSchema.parse(JSON.parse(finished.out.trim().split('\n').at(-1) ?? ''));
}

describe('demo --json in a fresh folder', () => {
  test('does a whole job over pseudo-terminals and tells of every step', () => {
    expect(finished).toMatchObject({ code: 0 });
    expect(finished.terminals).toBeGreaterThanOrEqual(2);
    expect(finished.error).toMatch(/^SLT-1001: Re-grease head Slate, 17 steps\n/);
    expect(finished.error.match(/^ {2}.+: (done|noted)$/gm)).toHaveLength(17);
  });

  test('ends with the record: mass and torque with unit, decision, conformance, instrument and raw bytes', () => {
    const record = printedRecord();
    expect(record.serial).toBe('SLT-1001');
    const [mass, torque] = record.captures;
    expect(mass).toMatchObject({ quantity: 'mass', unit: 'g' });
    expect(Math.abs(mass!.value - 18)).toBeLessThan(0.6);
    expect(torque).toMatchObject({ quantity: 'torque', unit: 'N.m' });
    expect(Math.abs(torque!.value - 27)).toBeLessThan(2.16);
    for (const { indication, rawBytes } of record.captures) {
      expect(Buffer.from(rawBytes, 'base64').toString('latin1')).toContain(indication.text);
    }
    const used = record.captures.map(({ instrument }) => instrument.instrumentId);
    expect(record.instruments.map(({ instrumentId }) => instrumentId).sort()).toEqual(used.sort());
  });

  test('the record carries its own hash and a signature that others can check', () => {
    // Outside our own code: RFC 8785 by the package canonicalize, SHA-256 and Ed25519 (RFC 8032) by Node.
    const { hash, keyId, signature, ...content } = printedRecord();
    expect(createHash('sha256').update(canonicalize(content)!).digest('hex')).toBe(hash);
    const evidence = openEvidence(data);
    const { publicKey } = evidence
      .readStream('station')
      .map(({ body }) => z.looseObject({ keyId: z.string(), publicKey: z.string() }).parse(body))
      .find((key) => key.keyId === keyId)!;
    evidence.close();
    const key = createPublicKey({ key: Buffer.from(publicKey, 'base64'), format: 'der', type: 'spki' });
    const signed = Buffer.from(canonicalize({ format: 'bandwright record signature 1', hash })!);
    expect(verify(null, signed, key, Buffer.from(signature, 'base64'))).toBe(true);
  });

  test('serial returns the same record', async () => {
    const { code, out } = await bandwright(['serial', 'SLT-1001', '--json', '--data', data]);
    expect(code).toBe(0);
    const { visits } = serialSchema.parse(JSON.parse(out));
    expect(visits).toHaveLength(1);
    expect(visits[0]?.record).toEqual(JSON.parse(finished.out.trim().split('\n').at(-1)!));
  });

  test('verify says intact', async () => {
    const { code, out } = await bandwright(['verify', '--json', '--data', data]);
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ intact: true, records: 1, problemCount: 0, problems: [] });
  });
});

describe('one byte of the database file altered', () => {
  /** Alters one digit of the captured mass where it lies in the file; the process that wrote it has ended. */
  function alterCapturedMass(): { readonly folder: string; readonly sequence: number } {
    const altered = mkdtempSync(join(tmpdir(), 'bandwright-altered-'));
    cpSync(data, altered, { recursive: true });
    const [mass] = printedRecord().captures;
    const file = join(altered, databaseName);
    const places = cellsOf(file, 'event')
      .find(({ rowid }) => rowid === mass!.sequence)!
      .columns.get('body')!;
    const content = readFileSync(file);
    const body = Buffer.from(places.map((place) => content[place]!)).toString('utf8');
    const at = body.indexOf(`"text":"${mass!.indication.text}"`) + '"text":"'.length;
    expect(body.slice(at)).toMatch(/^\d/);
    // Another digit: 5 becomes 4.
    alterByte(file, places[at]!, 1);
    return { folder: altered, sequence: mass!.sequence };
  }

  test('verify names the record by its serial, and exits 1', async () => {
    const altered = alterCapturedMass();
    try {
      const { code, out } = await bandwright(['verify', '--json', '--data', altered.folder]);
      expect(code).toBe(1);
      const result: unknown = JSON.parse(out);
      expect(result).toMatchObject({
        intact: false,
        problems: expect.arrayContaining([
          expect.objectContaining({ serial: 'SLT-1001', sequence: altered.sequence }),
        ]),
      });
      const inWords = await bandwright(['verify', '--data', altered.folder]);
      expect(inWords.code).toBe(1);
      expect(inWords.out).toContain('NOT INTACT');
      expect(inWords.error).toContain('SLT-1001');
    } finally {
      rmSync(altered.folder, { recursive: true, force: true });
    }
  });

  test('serial leaves the altered reading out, says so, and exits 1', async () => {
    const altered = alterCapturedMass();
    try {
      const { code, out, error } = await bandwright([
        'serial',
        'SLT-1001',
        '--json',
        '--data',
        altered.folder,
      ]);
      expect(code).toBe(1);
      expect(error).toContain(`event ${altered.sequence}`);
      const visit = z
        .looseObject({ damage: z.array(z.string()), captures: z.array(z.looseObject({ sequence: z.int() })) })
        .parse(serialSchema.parse(JSON.parse(out)).visits[0]);
      expect(visit.damage).toEqual([expect.stringContaining(`event ${altered.sequence} `)]);
      expect(visit.captures.map(({ sequence }) => sequence)).not.toContain(altered.sequence);
      expect(visit.captures).toHaveLength(1);
    } finally {
      rmSync(altered.folder, { recursive: true, force: true });
    }
  });
});

describe('bad input is one line that names the field, what is wrong and what to do', () => {
  const none = join(folder, 'none');
  const file = join(folder, 'file');
  writeFileSync(file, 'no folder');
  const band = '"band":{"lower":1,"upper":2,"unit":"g"}';

  test.concurrent.each<[words: string[], starts: string, standardInput?: string]>([
    [
      ['demo', '--serial', 'NOPE'],
      '--serial: "NOPE" is no tool of the demo workshop; choose one of SLT-1001',
    ],
    [['demo', 'SLT-2001'], 'demo: takes no "SLT-2001"; name the tool with --serial'],
    [['demo', '--data', file], `--data: ${file} cannot be a data folder (EEXIST); name one`],
    [['serve', '--port', '70000'], '--port: "70000" is no port; give a number from 0 to 65535'],
    [['serve', '8080'], 'serve: takes no "8080"; name the port with --port'],
    [['serve', '--data', file], `--data: ${file} cannot be a data folder (EEXIST); name one`],
    [['serial'], 'SERIAL: missing; give the serial number'],
    [['serial', 'A', 'B'], 'SERIAL: one at a time, not also "B"'],
    [['serial', 'x\u0007'], 'SERIAL: "x\\u0007" is none; give 1 to 60 printable characters'],
    [['serial', 'SLT-1001'], `--data: no database in ${none}; name the data folder with --data DIR`],
    [['verify'], `--data: no database in ${none}; name the data folder with --data DIR`],
    [['verify', '--key', 'zz'], '--key: "zz" is no key id; give its 64 hexadecimal digits'],
    [['decode'], '--profile: missing; give a JSON file or the name'],
    [['decode', '--profile', 'nope'], '--profile: "nope" is no built-in profile'],
    [['judge', '-'], 'reading: missing', `{"quantity":"mass",${band}}`],
    [
      ['judge', join(folder, 'none.json')],
      `${join(folder, 'none.json')}: cannot be read (ENOENT); give the path`,
    ],
    [['demmo'], 'command: "demmo" is not one; choose one of'],
    [['demo', '--serail', 'SLT-1001'], "demo: Unknown option '--serail'; correct it (see demo --help)"],
    [['convert', '12', 'kg'], 'from: missing; choose one of g, mg, kg'],
    [['export', 'csv', '--decision', 'passed'], '--decision: "passed" is none; choose one of pass,'],
    [['restore', 'nope'], 'BACKUP: no database in nope; name one folder that "backup" wrote'],
  ])('%j', { timeout: 60_000 }, async (words, starts, standardInput = '') => {
    const folderWords = words.includes('--data') || words[0] === 'judge' ? [] : ['--data', none];
    const { code, out, error } = await bandwright([...words, ...folderWords], standardInput);
    expect(error.startsWith(starts), error).toBe(true);
    expect(error.match(/\n/g)).toHaveLength(1);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(existsSync(none)).toBe(false);
    expect(readFileSync(file, 'utf8')).toBe('no folder');
  });
});
