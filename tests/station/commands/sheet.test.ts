import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sheetCommand } from '../../../electron/station/commands/sheet.ts';
import { openEvidence } from '../../../electron/station/store/open-store.ts';
import published from '../../../shared/sheet/service-sheet.schema.json' with { type: 'json' };
import { temporaryFolder } from '../store/bench.ts';
import { demoPins, TestBench } from '../test-station.ts';
import { call } from './calling.ts';

const bench = new TestBench();
// A demo workshop whose station is not running.
beforeAll(async () => {
  await bench.open();
  await bench.station.close();
});
afterAll(() => bench.end());

function sheet(words: readonly string[], options: Record<string, string | boolean> = {}, input = '') {
  return call(sheetCommand, input, words, { json: true, data: bench.folder, ...options });
}

function fileOf(content: object): string {
  const file = join(temporaryFolder(), 'sheet.json');
  writeFileSync(file, JSON.stringify(content));
  return file;
}

const author = { person: 'cedar', pin: demoPins.cedar };

async function exported(revision?: string) {
  const { out } = await sheet(['export', 'sheet-slate-short'], revision === undefined ? {} : { revision });
  return JSON.parse(out);
}

describe('sheet export and import', () => {
  it('gives a file that is imported as the next draft, with its author', async () => {
    const first = await exported();
    expect(first).toMatchObject({ format: 'bandwright-sheet-1', sheetId: 'sheet-slate-short', revision: 1 });
    const file = fileOf({ ...first, revision: 2, nextServiceMonths: 6 });
    const imported = await sheet(['import', file], author);
    expect(imported).toMatchObject({ code: 0 });
    expect(JSON.parse(imported.out)).toEqual({
      sheetId: 'sheet-slate-short',
      revision: 2,
      status: 'draft',
      person: 'cedar',
    });
    // The draft is not in force: export gives the approved one unless it is asked for.
    expect(await exported()).toEqual(first);
    expect(await exported('2')).toEqual({ ...first, revision: 2, nextServiceMonths: 6 });
    const evidence = openEvidence(bench.folder);
    expect(evidence.readStream('sheet/sheet-slate-short').at(-1)).toMatchObject({
      kind: 'sheetDrafted',
      personId: 'cedar',
    });
    evidence.close();
  });

  it('takes a lead with the right PIN, and the next number', async () => {
    const first = await exported();
    const next = fileOf({ ...first, revision: 2 });
    const before = openEvidence(bench.folder);
    const sequence = before.lastSequence();
    before.close();
    const wrong: [object, RegExp][] = [
      [{ person: 'amber', pin: demoPins.amber }, /^--person: draftSheet takes another role/],
      [{ person: 'cedar', pin: '0000' }, /^--pin: The PIN is wrong/],
      [{ person: 'nobody', pin: '0000' }, /^--person: "nobody" is not known here/],
      [{ person: 'cedar' }, /^--pin: missing/],
      [{}, /^--person: missing/],
    ];
    for (const [options, sentence] of wrong) {
      const result = await sheet(['import', next], options as Record<string, string>);
      expect(result).toMatchObject({ code: 2, out: '', error: expect.stringMatching(sentence) });
    }
    const tooFar = await sheet(['import', fileOf({ ...first, revision: 9 })], author);
    expect(tooFar.error).toMatch(/^revision: The next revision of sheet-slate-short is 2, not 9/);
    const after = openEvidence(bench.folder);
    expect(after.lastSequence()).toBe(sequence);
    after.close();
  });

  it('makes no database in a folder that has none', async () => {
    const folder = temporaryFolder();
    const file = fileOf(await exported());
    expect(await sheet(['import', file], { ...author, data: folder })).toMatchObject({
      code: 2,
      error: expect.stringMatching(/^--data: no database/),
    });
  });
});

describe('sheet check', () => {
  it('says what it read, from a file or standard input', async () => {
    const first = await exported();
    expect(JSON.parse((await sheet(['check', '-'], {}, JSON.stringify(first))).out)).toEqual({
      sheetId: 'sheet-slate-short',
      revision: 1,
      steps: 4,
    });
  });

  it('names the first bad field with its path', async () => {
    const bad = async (
      change: (content: { steps: Record<string, unknown>[]; [key: string]: unknown }) => void,
    ) => {
      const content = await exported();
      change(content);
      const result = await sheet(['check', '-'], {}, JSON.stringify(content));
      expect(result).toMatchObject({ code: 2, out: '' });
      expect(result.error).not.toContain('\n');
      return result.error;
    };
    expect(
      await bad((content) => {
        content.title = { en: 'Only English' };
      }),
    ).toMatch(/^title\.de: missing/);
    expect(
      await bad((content) => {
        content.steps[1] = { ...content.steps[1], band: { target: 18, lower: 19, upper: 17, unit: 'g' } };
      }),
    ).toMatch(/^steps\[1\]\.band/);
    expect(
      await bad((content) => {
        content.steps[2] = { ...content.steps[2], colour: 'red' };
      }),
    ).toMatch(/^steps\[2\]\.colour: is not a field here/);
    expect(
      await bad((content) => {
        content.steps[3] = { ...content.steps[3], after: ['no-such-step'] };
      }),
    ).toMatch(/^steps\[3\]\.after/);
    expect(
      await bad((content) => {
        content.steps = [];
      }),
    ).toMatch(/^steps: must have at least 1/);
  });
});

describe('sheet schema', () => {
  it('prints the schema that is published in the repository', async () => {
    expect(JSON.parse((await sheet(['schema'])).out)).toEqual(published);
  });
});

describe('sheet', () => {
  it.each([
    [[], /^sheet: what to do/],
    [['destroy'], /^sheet: "destroy" is not one of check, import, export, schema/],
    [['check'], /^FILE: missing/],
    [['check', 'a', 'b'], /takes no "b"/],
    [['check', '/no/such/file'], /cannot be read/],
    [['export'], /^SHEET-ID: missing/],
    [['export', 'sheet-none'], /^SHEET-ID: "sheet-none" is not here; choose one of .*sheet-slate/],
  ])('refuses %j in one line, exit 2', async (words, sentence) => {
    expect(await sheet(words)).toMatchObject({ code: 2, out: '', error: expect.stringMatching(sentence) });
  });

  it('refuses a revision that is none or not there', async () => {
    expect((await sheet(['export', 'sheet-slate'], { revision: 'x' })).error).toMatch(
      /^--revision: "x" is none/,
    );
    expect((await sheet(['export', 'sheet-slate'], { revision: '7' })).error).toMatch(
      /^--revision: sheet-slate has no 7; choose one of 1/,
    );
  });
});
