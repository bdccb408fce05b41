import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readProfile } from '../../drivers/profile.ts';
import { runExport } from '../../electron/station/audit/export-run.ts';
import { putInventedDocuments } from '../../electron/station/audit/invented-documents.ts';
import { budgetCommand } from '../../electron/station/commands/budget.ts';
import { BadInput } from '../../electron/station/commands/command.ts';
import { convertCommand } from '../../electron/station/commands/convert.ts';
import { judgeCommand } from '../../electron/station/commands/judge.ts';
import { setpointCommand } from '../../electron/station/commands/setpoint.ts';
import sheet from '../../seeds/sheets/slate-short.json' with { type: 'json' };
import { certificateSchema } from '../../shared/calibration/certificate.ts';
import { parseWith } from '../../shared/schema-refusal.ts';
import { readSheet } from '../../shared/sheet/sheet-check.ts';
import { call } from '../station/commands/calling.ts';
import { TestServer } from '../station/serve/test-server.ts';
import { openTestStore, temporaryFolder, writeInventedJobs } from '../station/store/bench.ts';
import { demoPins } from '../station/test-station.ts';
import { verifyBundle } from './surfaces/bundles.ts';

// What fuzzing found, each with its name, so that it stays found.

describe('numbers that no instrument shows', () => {
  it('as the angle of a lever are refused: their cosine is no number', async () => {
    const request = {
      band: { target: 23, lower: 22, upper: 24, unit: 'N.m' },
      wrench: { unit: 'N.m', graduation: 1 },
      lever: { wrenchLength: 300, extension: 50, angleDegrees: -1.7976931348623157e308 },
    };
    const { code, error } = await call(setpointCommand, JSON.stringify(request));
    expect([code, error]).toEqual([2, expect.stringContaining('lever.angleDegrees: must lie between')]);
  });

  it('as the coverage factor of a budget are refused: the uncertainty would be infinite', async () => {
    const contribution = { name: 'standard', kind: 'normal', expanded: 45, k: 1e-320 };
    const budget = { quantity: 'mass', unit: 'g', contributions: [contribution] };
    const { code, error } = await call(budgetCommand, JSON.stringify(budget));
    expect([code, error]).toEqual([2, expect.stringContaining('contributions[0].k')]);
  });

  it('as the uncertainty of a judgement are refused', async () => {
    const request = {
      quantity: 'mass',
      reading: { value: 18, unit: 'g' },
      band: { lower: 17.4, unit: 'g' },
      uncertainty: { standard: 1.7976931348623157e308, unit: 'g' },
      rule: { kind: 'conformance', probability: 0.95 },
    };
    const { code, error } = await call(judgeCommand, JSON.stringify(request));
    expect([code, error]).toEqual([2, expect.stringContaining('uncertainty.standard')]);
  });

  it('in a certificate are refused: its uncertainty would be infinite', () => {
    const certificate = {
      ...{ number: 'F-1', provider: 'Invented', reference: 'Invented', unit: 'g' },
      ...{ date: '2026-01-05', due: '2027-01-05' },
      asLeft: [{ reference: 20, error: 0.01, expanded: 0.01, k: 5e-324 }],
    };
    const read = parseWith(certificateSchema, certificate);
    expect(read).toMatchObject({ ok: false, error: { field: 'asLeft[0].k' } });
  });
});

describe('half a character (a lone surrogate)', () => {
  it('in a sheet is refused: the evidence could not keep it', () => {
    const spoiled = { ...sheet, title: { ...sheet.title, en: 'half \ud800' } };
    expect(readSheet(spoiled)).toMatchObject({
      ok: false,
      error: { code: 'half_character', field: 'title.en' },
    });
  });

  it('in a note is refused, and is no mistake of the station', async () => {
    const station = await new TestServer().start();
    const screen = await station.screen();
    await screen.call('signIn', { personId: 'amber', pin: demoPins.amber });
    const opened = await screen.call('command', {
      command: { kind: 'openJob', serial: 'HALF-1', headId: 'head-slate-short' },
    });
    const { jobId } = (opened as unknown as { value: { jobId: string } }).value;
    const note = { kind: 'writeNote', jobId, text: 'half \udc00 character' };
    // The refusal names the parameters; the half is looked for in all of them.
    expect(await screen.call('command', { command: note })).toMatchObject({
      ok: false,
      refusal: { code: 'bad_parameters', field: 'command.text', message: expect.stringContaining('half') },
    });
    screen.cut();
    await station.end();
  });
});

describe('what a refusal quotes', () => {
  it('stays on its line and commands no terminal', async () => {
    const { error } = await call(convertCommand, '', ['1', 'g', 'x\r\n\u001b[2J\u202ey']);
    expect(error).toContain('x\\u000d\\u000a\\u001b[2J\\u202ey');
    expect(new BadInput('a\tb').message).toBe('a\\u0009b');
  });

  it('is cut where it is long', async () => {
    const { error } = await call(convertCommand, '', ['1'.repeat(100_000), 'x', 'g']);
    expect(error.length).toBeLessThan(1100);
    const spoiled = structuredClone(sheet) as { steps: { band?: { unit: string } }[] };
    for (const { band } of spoiled.steps) if (band !== undefined) band.unit = 'x'.repeat(100_000);
    const read = readSheet(spoiled);
    expect(read.ok ? '' : read.error.message.length).toBeLessThan(300);
    const profile = readProfile({
      name: 'long',
      kind: 'mass',
      frame: { ends: ['0d'], max_bytes: 32 },
      pattern: '^(?<A>.)(?<value>\\d+)$',
      bits: [{ group: 'A', bit: 4, one: 'x'.repeat(100_000) }],
      unit_fixed: 'g',
    });
    expect(profile.ok ? '' : profile.error.field).toBe('bits[0].one');
    expect(profile.ok ? 0 : profile.error.message.length).toBeLessThan(700);
    const unknown = readSheet({ ...sheet, ['y'.repeat(100_000)]: 1 });
    expect(unknown.ok ? 0 : unknown.error.field.length).toBeLessThan(300);
  });
});

describe('the seals of a bundle', () => {
  it('are missed when the last one is taken out, and noticed when one stands there twice', async () => {
    const data = temporaryFolder();
    const store = openTestStore(data);
    putInventedDocuments(store);
    writeInventedJobs(store, 1);
    store.close();
    const whole = join(temporaryFolder(), 'bundle');
    const at = '2026-03-02T08:00:00.000Z';
    await runExport({ folder: data, target: whole, format: 'bundle', style: 'iso', filter: null, at });
    expect((await verifyBundle(whole)).code).toBe(0);
    const seals = readFileSync(join(whole, 'seals.jsonl'), 'utf8').trimEnd().split('\n');
    for (const [name, changed] of [
      ['out', seals.slice(0, -1)],
      ['twice', [...seals, seals.at(-1)]],
    ] as const) {
      const spoiled = join(temporaryFolder(), name);
      cpSync(whole, spoiled, { recursive: true });
      writeFileSync(join(spoiled, 'seals.jsonl'), `${changed.join('\n')}\n`);
      expect([name, (await verifyBundle(spoiled)).code]).toEqual([name, 1]);
    }
  });
});
