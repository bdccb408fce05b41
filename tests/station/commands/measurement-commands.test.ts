import { describe, expect, test } from 'vitest';
import { budgetCommand } from '../../../electron/station/commands/budget.ts';
import { capabilityCommand } from '../../../electron/station/commands/capability.ts';
import { convertCommand } from '../../../electron/station/commands/convert.ts';
import { setpointCommand } from '../../../electron/station/commands/setpoint.ts';
import { call } from './calling.ts';
import { bandwright } from './running.ts';

const text = { json: false };

describe('convert', () => {
  test('23 N.m lbf.ft, from the command line', async () => {
    expect(await bandwright(['convert', '23', 'N.m', 'lbf.ft'])).toEqual({
      code: 0,
      out: '16.96392943337710336919589 lbf.ft\n',
      error: '',
    });
  });

  test('prints an exact decimal where there is one, with its fraction', async () => {
    const { out } = await call(convertCommand, '', ['1', 'lbf·in', 'Nm']);
    expect(JSON.parse(out)).toEqual({
      value: 0.1129848290276167,
      text: '0.1129848290276167',
      exact: true,
      unit: 'N.m',
      exactFraction: '1129848290276167/10000000000000000',
    });
  });

  test('a value and unit in one word, a negative value, zero', async () => {
    expect((await call(convertCommand, '', ['23N.m', 'cN.m'], text)).out).toBe('2300 cN.m');
    expect((await call(convertCommand, '', ['-5', 'kg', 'g'], text)).out).toBe('-5000 g');
    expect((await call(convertCommand, '', ['0', 'kg', 'oz'], text)).out).toBe('0 oz');
  });

  test.each([
    [['NaN', 'g', 'kg'], 'value: "NaN" is not a finite decimal number'],
    [['1,5', 'g', 'kg'], 'value: "1,5" is not a finite decimal number'],
    [['Infinity', 'g', 'kg'], 'value: "Infinity"'],
    [['1', 'stone', 'kg'], 'from: "stone" is not a known unit'],
    [['1', 'g', 'stone'], 'to: "stone" is not a known unit'],
    [['1', 'g', 'N.m'], 'to: g measures mass and N.m measures torque'],
    [['1'], 'convert: give a value and two units'],
    [['1', 'g'], 'from: missing'],
    [['1', 'g', 'kg', 'oz'], 'convert: give a value and two units'],
  ])('%j is refused in one line', async (words, sentence) => {
    const { code, out, error } = await call(convertCommand, '', words);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(sentence);
  });
});

describe('budget', () => {
  const file = {
    quantity: 'mass',
    unit: 'g',
    k: 2,
    contributions: [
      { name: 'standard', kind: 'normal', expanded: 45, k: 2, unit: 'mg' },
      { name: 'drift', kind: 'rectangular', halfWidth: 0.015 },
      { name: 'repeatability', kind: 'typeA', standardDeviation: 0.025, n: 3 },
    ],
  };

  test('gives combined, degrees of freedom, k, expanded and each contribution', async () => {
    const { code, out } = await bandwright(['budget', '-', '--json'], JSON.stringify(file));
    expect(code).toBe(0);
    const budget = JSON.parse(out) as Record<string, number> & { contributions: { share: number }[] };
    expect(Object.keys(budget)).toEqual(
      expect.arrayContaining(['combined', 'degreesOfFreedom', 'k', 'expanded', 'unit', 'contributions']),
    );
    expect(budget.combined).toBeCloseTo(Math.hypot(0.0225, 0.015 / Math.sqrt(3), 0.025 / Math.sqrt(3)), 12);
    expect(budget.contributions.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
  });

  test('without --json prints a table with a bar for each share', async () => {
    const { out } = await call(budgetCommand, JSON.stringify(file), [], text);
    expect(out).toMatch(/^contribution +u +unit/);
    expect(out).toMatch(/standard .*64\.\d % {2}█+/);
    expect(out).toContain('coverage factor k');
  });

  test.each<[string, object, string]>([
    ['no contributions', { contributions: [] }, 'contributions: is empty'],
    ['no list', { contributions: undefined }, 'contributions: missing'],
    [
      'another kind',
      { contributions: [{ kind: 'guess' }] },
      'contributions[0].kind: the text "guess" is not known',
    ],
    ['a missing size', { contributions: [{ kind: 'rectangular' }] }, 'contributions[0].halfWidth: missing'],
    [
      'a negative size',
      { contributions: [{ kind: 'rectangular', halfWidth: -1 }] },
      'contributions[0].halfWidth: must be zero or more',
    ],
    [
      'one reading',
      { contributions: [{ kind: 'typeA', standardDeviation: 1, n: 1 }] },
      'contributions[0].n: must be a whole number from 2',
    ],
    [
      'nothing uncertain',
      { contributions: [{ kind: 'rectangular', halfWidth: 0 }] },
      'contributions: together give no uncertainty',
    ],
    [
      'mixed quantities',
      { contributions: [{ kind: 'standard', u: 1, unit: 'N.m' }] },
      'contributions[0].unit: N.m cannot be turned into g',
    ],
    ['a unit of another quantity', { unit: 'N.m' }, 'unit: N.m does not measure mass'],
    ['k and probability', { coverageProbability: 0.95 }, 'k: stands beside coverageProbability'],
    [
      '95 for 95 %',
      { k: undefined, coverageProbability: 95 },
      'coverageProbability: must lie between 0 and 1',
    ],
    ['k of zero', { k: 0 }, 'k: must be above zero'],
    ['an unknown field', { cover: 2 }, 'cover: is not a field here'],
  ])('%s is refused in one line', async (_, part, sentence) => {
    const { code, out, error } = await call(budgetCommand, JSON.stringify({ ...file, ...part }));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(sentence);
    expect(error).not.toContain('\n');
  });
});

describe('setpoint', () => {
  const file = {
    band: { target: 23, lower: 21.85, upper: 24.15, unit: 'N.m' },
    wrench: { unit: 'lbf.ft', graduation: 1 },
    equivalent: { value: 16, unit: 'lbf.ft' },
  };

  test('says that 16 lbf.ft is 5.7 % low for 23 N.m and offers 17 (common practice, no source)', async () => {
    const { code, out } = await bandwright(['setpoint'], JSON.stringify(file));
    expect(code).toBe(1);
    expect(out).toContain('16 lbf.ft is 5.7 % low, outside the tolerance band; set 17 lbf.ft');
  });

  test('without the equivalent it is done: exit 0, the set-point in JSON', async () => {
    const { code, out } = await call(setpointCommand, JSON.stringify({ ...file, equivalent: undefined }));
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({
      setPoint: { value: 17, unit: 'lbf.ft' },
      equivalent: null,
      warnings: [],
    });
  });

  test.each<[string, object, string]>([
    ['no wrench', { wrench: undefined }, 'wrench: missing'],
    [
      'a graduation of zero',
      { wrench: { unit: 'N.m', graduation: 0 } },
      'wrench.graduation: must be above zero',
    ],
    ['a mass', { wrench: { unit: 'g', graduation: 1 } }, 'wrench.unit: g measures mass'],
    ['inverted limits', { band: { lower: 2, upper: 1, unit: 'N.m' } }, 'band.lower: 2 is not below upper 1'],
    [
      'an extension back past the hand',
      { lever: { wrenchLength: 100, extension: 120, angleDegrees: 180 } },
      'lever.extension: reaches back',
    ],
    [
      'a lever of no length',
      { lever: { wrenchLength: 0, extension: 1 } },
      'lever.wrenchLength: must be above zero',
    ],
    [
      'uncertainty zero',
      { uncertainty: { expanded: 0, k: 2, unit: 'N.m' } },
      'uncertainty.expanded: must be above zero',
    ],
  ])('%s is refused in one line', async (_, part, sentence) => {
    const { code, out, error } = await call(setpointCommand, JSON.stringify({ ...file, ...part }));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(sentence);
  });
});

describe('capability', () => {
  test('of a summary: the e-Handbook example with its intervals', async () => {
    const { code, out } = await bandwright(
      ['capability', '--json'],
      JSON.stringify({ mean: 16, standardDeviation: 2, n: 50, lower: 8, upper: 20, unit: 'g' }),
    );
    expect(code).toBe(0);
    const found = JSON.parse(out) as Record<string, number> & {
      intervals: { Cpk: { lower: number; upper: number } };
    };
    expect(found).toMatchObject({ Cp: 1, unit: 'g', n: 50 });
    expect(found.Cpk).toBeCloseTo(0.666667, 6);
    expect(found.intervals.Cpk.lower).toBeCloseTo(0.5056, 4);
    expect(found.intervals.Cpk.upper).toBeCloseTo(0.8278, 4);
  });

  test('of readings one by one, with one limit, in words', async () => {
    const { out } = await call(capabilityCommand, '{"values":[10,11,10,12,11,10],"upper":15}', [], text);
    expect(out).toContain('Cp   needs both limits');
    expect(out).toMatch(/Ppk +1\.\d{4} {2}\(95 %: /);
  });

  test.each<[string, object, string]>([
    ['no readings', { lower: 1, upper: 2 }, 'values: missing'],
    ['two shapes', { values: [1, 2], mean: 1, lower: 1, upper: 2 }, 'values: stands beside another shape'],
    ['a mean alone', { mean: 1, lower: 1, upper: 2 }, 'standardDeviation: missing'],
    ['one reading', { values: [1], lower: 1, upper: 2 }, 'values: needs at least two readings'],
    ['readings all alike', { values: [1, 1, 1], lower: 0, upper: 2 }, 'values: are all alike'],
    ['no limits', { values: [1, 2] }, 'lower: missing, and upper too'],
    ['inverted limits', { values: [1, 2], lower: 3, upper: 2 }, 'lower: 3 is not below upper 2'],
    ['a spread of zero', { mean: 1, sd: 0, lower: 0, upper: 2 }, 'sd: must be above zero'],
  ])('%s is refused in one line', async (_, file, sentence) => {
    const { code, out, error } = await call(capabilityCommand, JSON.stringify(file));
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(sentence);
  });

  test('NaN among readings is named by its place', async () => {
    const { error } = await call(capabilityCommand, '{"values":[1,NaN],"lower":0,"upper":2}');
    expect(error).toBe('values[1]: must be a finite number, not NaN; give a decimal number');
  });
});
