import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { csvOf, csvStyleOf } from '../../../electron/station/audit/csv.ts';
import { runExport } from '../../../electron/station/audit/export-run.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import { readingLineJsonSchema, readingLineSchema } from '../../../shared/evidence/reading-line.ts';
import { temporaryFolder } from '../store/bench.ts';
import { buildEvidence, verdictOn } from './tampering.ts';

const at = '2026-03-02T12:00:00.000+01:00';

function evidence(closed = 3): string {
  const folder = temporaryFolder();
  buildEvidence(folder, closed);
  return folder;
}

async function bundle(
  folder: string,
  filter: Parameters<typeof runExport>[0]['filter'] = null,
): Promise<string> {
  const target = join(temporaryFolder(), 'bundle');
  const result = await runExport({ folder, target, format: 'bundle', style: 'iso', filter, at });
  expect(result).toMatchObject({ ok: true });
  return target;
}

/** Runs the verifier in an empty environment, as somebody without Bandwright would. */
function check(verifier: string, ...words: string[]): { code: number | null; lines: string[] } {
  const { status, stdout } = spawnSync(process.execPath, [verifier, ...words], {
    encoding: 'utf8',
    env: {},
    cwd: '/',
  });
  return { code: status, lines: stdout.trim().split('\n') };
}

describe('an export of readings', () => {
  it('holds every captured reading once, as CSV and as JSON lines of the published shape', async () => {
    const folder = evidence();
    const reader = openEvidence(folder);
    const captures = reader.findCaptures({}, 0, 1000);
    reader.close();
    const out = temporaryFolder();
    const wish = { folder, style: 'iso', filter: null, at } as const;
    await runExport({ ...wish, target: join(out, 'a.jsonl'), format: 'jsonl' });
    await runExport({ ...wish, target: join(out, 'a.csv'), format: 'csv' });
    const lines = readFileSync(join(out, 'a.jsonl'), 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(lines.map(({ captureId }) => captureId)).toEqual(captures.map(({ captureId }) => captureId));
    for (const line of lines)
      expect(z.strictObject(readingLineSchema.shape).safeParse(line).error).toBeUndefined();
    // What is optional says from which bench of a site a reading comes.
    const { required, properties } = readingLineJsonSchema() as { required: string[]; properties: object };
    expect(Object.keys(lines[0]).sort()).toEqual([...required].sort());
    expect(Object.keys(properties).filter((name) => !required.includes(name))).toEqual([
      'benchId',
      'stationId',
      'branch',
      'leftBehind',
    ]);
    const rows = readFileSync(join(out, 'a.csv'), 'utf8').split('\r\n');
    expect(rows).toHaveLength(captures.length + 2);
    expect(rows[0]).toMatch(/^serial,job,head/);
    expect(readdirSync(out).sort()).toEqual(['a.csv', 'a.jsonl']);
  });

  it('takes only what a filter asks for', async () => {
    const folder = evidence();
    const out = join(temporaryFolder(), 'a.jsonl');
    await runExport({
      folder,
      style: 'iso',
      at,
      target: out,
      format: 'jsonl',
      filter: { quantity: 'torque', from: '2026-03-02T00:50:00.000Z' },
    });
    const lines = readFileSync(out, 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(lines.length).toBeGreaterThan(0);
    for (const { quantity, at: when } of lines) {
      expect(quantity).toBe('torque');
      expect(when >= '2026-03-02T00:50').toBe(true);
    }
  });

  it('that is stopped leaves nothing behind', async () => {
    const target = join(temporaryFolder(), 'a.csv');
    const stopped = await runExport({
      folder: evidence(),
      target,
      format: 'csv',
      style: 'iso',
      filter: null,
      at,
      signal: AbortSignal.abort(),
    });
    expect(stopped).toBeNull();
    expect(existsSync(target) || existsSync(`${target}.partial`)).toBe(false);
  });
});

describe('CSV', () => {
  const rows = [
    { text: '=HYPERLINK("x")', value: -1.5 },
    { text: '@SUM(1)', value: 2 },
    { text: 'a;"b",c\r\nd', value: 0.25 },
  ];

  it('executes nothing in a spreadsheet and leaves negative numbers alone', () => {
    expect(csvOf(rows, ['text', 'value'], 'iso', true)).toBe(
      'text,value\r\n"\'=HYPERLINK(""x"")",-1.5\r\n\'@SUM(1),2\r\n"a;""b"",c\r\nd",0.25\r\n',
    );
  });

  it('comes with decimal comma and semicolon where spreadsheets expect them', () => {
    expect(csvStyleOf('de')).toBe('comma');
    expect(csvStyleOf('en')).toBe('iso');
    expect(csvOf(rows.slice(0, 1), ['text', 'value'], 'comma', false)).toBe('"\'=HYPERLINK(""x"")";-1,5\r\n');
  });
});

describe('the indications in a CSV', () => {
  const columns = ['indication', 'tare', 'serial'];
  const rows = [{ indication: '-0.50', tare: '41.90', serial: '-12.50' }];

  it('are numbers with the decimals that were shown, negative ones too; a serial stays the text that it is', () => {
    expect(csvOf(rows, columns, 'iso', false)).toBe("-0.50,41.90,'-12.50\r\n");
  });

  it('have the decimal comma where the other numbers have it', () => {
    expect(csvOf(rows, columns, 'comma', false)).toBe("-0,50;41,90;'-12.50\r\n");
  });
});

describe('a bundle', () => {
  it('of a whole station is checked by its own verifier alone, which agrees with verify', {
    timeout: 30_000,
  }, async () => {
    const folder = evidence();
    const target = await bundle(folder);
    const alone = temporaryFolder();
    copyFileSync(join(target, 'verify.mjs'), join(alone, 'verify.mjs'));
    const { code, lines } = check(join(alone, 'verify.mjs'), target);
    const { events, records, documents, keyIds } = verdictOn(folder);
    expect(lines).toEqual([
      `intact: ${records} records, ${events} events, ${documents} documents`,
      `key ${keyIds[0]}`,
    ]);
    expect(code).toBe(0);
    expect(check(join(target, 'verify.mjs'), '--key', keyIds[0]!).code).toBe(0);
    expect(check(join(target, 'verify.mjs'), '--key', 'f'.repeat(64)).code).toBe(1);
  });

  it('of one serial holds its jobs, and what they refer to', { timeout: 30_000 }, async () => {
    const folder = evidence();
    const reader = openEvidence(folder);
    const [job] = reader.findJobs({}, 0, 1);
    reader.close();
    const target = await bundle(folder, { serial: job!.serial });
    const records = readFileSync(join(target, 'records.jsonl'), 'utf8').trimEnd().split('\n');
    expect(records.map((line) => JSON.parse(line).serial)).toEqual([job!.serial]);
    expect(check(join(target, 'verify.mjs'))).toMatchObject({ code: 0 });
  });

  it('in which anything was changed is not called intact', { timeout: 60_000 }, async () => {
    const target = await bundle(evidence(2));
    const change = (name: string, edit: (text: string) => string) => {
      const copy = join(temporaryFolder(), 'copy');
      mkdirSync(copy);
      for (const file of readdirSync(target)) copyFileSync(join(target, file), join(copy, file));
      const before = readFileSync(join(copy, name), 'utf8');
      const after = edit(before);
      expect(after).not.toBe(before);
      writeFileSync(join(copy, name), after);
      return check(join(copy, 'verify.mjs'));
    };
    const withoutLine = (index: number) => (text: string) => text.split('\n').toSpliced(index, 1).join('\n');
    const swapped = (text: string) => {
      const lines = text.split('\n');
      return [...lines.slice(0, 8), lines[9], lines[8], ...lines.slice(10)].join('\n');
    };
    const changes: [string, (text: string) => string][] = [
      ['records.jsonl', (text) => text.replace('"decision":"pass"', '"decision":"fail"')],
      ['records.jsonl', withoutLine(0)],
      ['events.jsonl', (text) => text.replace('"text":"61.40"', '"text":"61.41"')],
      ['events.jsonl', withoutLine(5)],
      ['events.jsonl', withoutLine(12)],
      ['events.jsonl', swapped],
      ['events.jsonl', (text) => text.trimEnd().split('\n').slice(0, -1).join('\n')],
      ['seals.jsonl', withoutLine(3)],
      ['seals.jsonl', (text) => text.replace(/"signature":"./, '"signature":"_')],
      ['documents.jsonl', (text) => text.replace('invented-scale', 'invented-scalf')],
      ['documents.jsonl', withoutLine(1)],
      ['bundle.json', (text) => text.replace(/"sequence":\d+/, '"sequence":5')],
      ['bundle.json', (text) => text.replace(/"keyId":"./, '"keyId":"_')],
    ];
    for (const [name, edit] of changes) {
      const { code, lines } = change(name, edit);
      expect(code, `${name}: ${lines.join(' | ')}`).toBe(1);
      expect(
        lines.some((line) => /^(altered|removed|signature|truncated|key): /.test(line)),
        lines.join(),
      ).toBe(true);
    }
  });

  it('is refused where something lies already', async () => {
    const target = temporaryFolder();
    writeFileSync(join(target, 'mine.txt'), 'x');
    const result = await runExport({
      folder: evidence(1),
      target,
      format: 'bundle',
      style: 'iso',
      filter: null,
      at,
    });
    expect(result).toMatchObject({ ok: false, error: { code: 'not_empty' } });
    expect(readdirSync(target)).toEqual(['mine.txt']);
  });
});

describe('the command line', () => {
  const run = (...words: string[]) =>
    execFileSync(
      process.execPath,
      [join(import.meta.dirname, '../../../electron/station/command-line.ts'), ...words],
      { encoding: 'utf8' },
    );

  it('gives the record of a serial as it was signed', () => {
    const folder = evidence(1);
    const reader = openEvidence(folder);
    const [job] = reader.findJobs({}, 0, 1);
    const record = reader.recordOf(job!.jobId)!.record;
    reader.close();
    const answer = JSON.parse(run('serial', job!.serial, '--json', '--data', folder));
    expect(answer.visits[0].record).toEqual(record);
    expect(answer.visits[0].captures[0]).toMatchObject({
      decision: 'pass',
      unit: 'g',
      rawBytes: expect.any(String),
    });
    expect(JSON.parse(run('serial', 'NEVER-CAME', '--json', '--data', folder))).toEqual({
      serial: 'NEVER-CAME',
      visits: [],
    });
  });

  it('verifies, and ends with 1 when a byte was altered', () => {
    const folder = evidence(1);
    expect(JSON.parse(run('verify', '--json', '--data', folder))).toMatchObject({
      intact: true,
      records: 1,
      problems: [],
    });
    const file = join(folder, 'station.sqlite');
    const content = readFileSync(file, 'latin1');
    writeFileSync(file, content.replace('"customerReference":null', '"customerReference":nulL'), 'latin1');
    const { status, stdout } = spawnSync(
      process.execPath,
      [
        join(import.meta.dirname, '../../../electron/station/command-line.ts'),
        'verify',
        '--json',
        '--data',
        folder,
      ],
      { encoding: 'utf8' },
    );
    expect(status).toBe(1);
    expect(JSON.parse(stdout)).toMatchObject({
      intact: false,
      problems: [{ kind: 'record', jobId: 'invented-00000001' }],
    });
  });
});
