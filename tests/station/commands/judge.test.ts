import { describe, expect, test } from 'vitest';
import { judgeCommand } from '../../../electron/station/commands/judge.ts';
import { call } from './calling.ts';
import { bandwright } from './running.ts';

const question = {
  quantity: 'torque',
  reading: { value: 19, unit: 'lbf.ft' },
  band: { target: 27, lower: 25.92, upper: 28.08, unit: 'N.m' },
  uncertainty: { expanded: 0.3, k: 2, unit: 'N.m' },
  rule: { kind: 'guarded', factor: 1 },
};
const asked = (part: object = {}) => JSON.stringify({ ...question, ...part });

describe('the judge command, as its own process', () => {
  test('19 lbf.ft on a ring of 27 N.m: conditional fail, exit 1', async () => {
    const { code, out, error } = await bandwright(['judge', '-'], asked());
    expect(error).toBe('');
    expect(code).toBe(1);
    const answer: unknown = JSON.parse(out);
    expect(answer).toMatchObject({
      unit: 'N.m',
      acceptance: { lower: 26.22, upper: 27.78 },
      decision: 'conditional fail',
    });
    expect(out).toMatch(/"value":25\.7605410\d*,/);
    expect(out).toContain('"acceptance":{"lower":26.22,"upper":27.78}');
    expect(out).toMatch(/"conformance":0\.1438\d*,/);
  });

  test('a refused question prints one line on standard error, nothing on standard output, exit 2', async () => {
    const { code, out, error } = await bandwright(
      ['judge'],
      asked({ uncertainty: { expanded: 0, k: 2, unit: 'N.m' } }),
    );
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(error).toMatch(/^uncertainty\.expanded: must be above zero; [^\n]+\n$/);
  });

  test('a file that is not there is named', async () => {
    const { code, error } = await bandwright(['judge', 'no-such-file.json']);
    expect(code).toBe(2);
    expect(error).toContain('no-such-file.json: cannot be read');
  });

  test('--help describes every field', async () => {
    const { code, out } = await bandwright(['judge', '--help']);
    expect(code).toBe(0);
    for (const word of [
      'quantity',
      'reading',
      'band',
      'uncertainty',
      'rule',
      'conformance',
      'margin',
      'Exit',
    ]) {
      expect(out).toContain(word);
    }
  });
});

describe('the judge command', () => {
  test('answers JSON lines one by one; one negative makes exit 1', async () => {
    const good = asked({ reading: { value: 27, unit: 'N.m' } });
    const { code, out } = await call(judgeCommand, `${good}\n\n${asked()}\n${good}\n`);
    expect(code).toBe(1);
    expect(out.split('\n').map((line) => (JSON.parse(line) as { decision: string }).decision)).toEqual([
      'pass',
      'conditional fail',
      'pass',
    ]);
  });

  test('answers a list, and an object spread over lines', async () => {
    const good = { ...question, reading: { text: '27.00', unit: 'N·m' } };
    expect((await call(judgeCommand, JSON.stringify([good, good]))).out.split('\n')).toHaveLength(2);
    expect(await call(judgeCommand, JSON.stringify(good, null, 2))).toMatchObject({ code: 0 });
  });

  test('takes one file at a time', async () => {
    expect(await call(judgeCommand, '', ['a.json', 'b.json'])).toMatchObject({
      code: 2,
      error: expect.stringContaining('"b.json": one file at a time'),
    });
  });

  test('a conditional pass is no negative', async () => {
    const { code, out } = await call(judgeCommand, asked({ reading: { value: 26, unit: 'N.m' } }));
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ decision: 'conditional pass' });
  });

  test('takes the conformance rule, a standard uncertainty, one-sided bands, and leaves other fields alone', async () => {
    const { code, out } = await call(
      judgeCommand,
      asked({
        id: 'X',
        quantity: 'mass',
        reading: { value: 104.1, unit: 'g' },
        band: { lower: null, upper: 105, unit: 'g' },
        uncertainty: { standard: 500, unit: 'mg' },
        rule: { kind: 'conformance', probability: 0.95 },
      }),
    );
    expect(code).toBe(0);
    const answer = JSON.parse(out) as {
      acceptance: { lower: null; upper: number };
      rule: { source: string };
    };
    expect(answer.acceptance.lower).toBeNull();
    expect(answer.acceptance.upper).toBeCloseTo(105 - 1.6448536 * 0.5, 6);
    expect(answer.rule.source).toContain('JCGM 106:2012');
  });

  test.each<[string, string, string]>([
    ['empty input', '', 'input is empty'],
    ['blank input', ' \n\n', 'input is empty'],
    ['no JSON', '{"quantity":', 'input is not JSON'],
    ['a number', '5', 'must be an object, not 5'],
    ['an empty list', '[]', 'input is an empty list'],
    ['a bad second line', `${asked()}\n{"quantity":"torque"}\n`, 'line 2: reading: missing'],
    ['a broken second line', `${asked()}\n{oops\n`, 'line 2: input is not JSON'],
    ['NaN', asked().replace('19', 'NaN'), 'reading.value: must be a finite number, not NaN'],
    [
      '-Infinity',
      asked().replace('25.92', '-Infinity'),
      'band.lower: must be a finite number, not -Infinity',
    ],
    ['a number beyond all bounds', asked().replace('19', '1e999'), 'reading.value: must be a finite number'],
    [
      'a number as words',
      asked({ reading: { value: 'nineteen', unit: 'N.m' } }),
      'reading.value: must be a number',
    ],
    [
      'a unit of nobody',
      asked({ reading: { value: 1, unit: 'mmHg' } }),
      'reading.unit: "mmHg" is not a known unit',
    ],
    [
      'mixed quantities',
      asked({ reading: { value: 1, unit: 'g' } }),
      'reading.unit: g measures mass but quantity is torque',
    ],
    [
      'another quantity',
      asked({ quantity: 'length' }),
      'quantity: the text "length" is not one of mass, torque',
    ],
    [
      'inverted limits',
      asked({ band: { lower: 2, upper: 1, unit: 'N.m' } }),
      'band.lower: 2 is not below upper 1',
    ],
    [
      'a misspelt limit',
      asked({ band: { lower: 2, uper: 3, unit: 'N.m' } }),
      'band.uper: is not a field here',
    ],
    ['no limits', asked({ band: { target: 2, unit: 'N.m' } }), 'band.lower: missing, and upper too'],
    ['no band', asked({ band: undefined }), 'band: missing'],
    ['no rule', asked({ rule: undefined }), 'rule: missing'],
    [
      'a rule without kind',
      asked({ rule: {} }),
      'rule.kind: missing; give one of simple, guarded, conformance',
    ],
    ['another rule', asked({ rule: { kind: 'lenient' } }), 'rule.kind: the text "lenient" is not known'],
    ['a guarded rule without factor', asked({ rule: { kind: 'guarded' } }), 'rule.factor: missing'],
    [
      'a negative factor',
      asked({ rule: { kind: 'guarded', factor: -1 } }),
      'rule.factor: must lie between 0 and 100',
    ],
    [
      '95 for 95 %',
      asked({ rule: { kind: 'conformance', probability: 95 } }),
      'rule.probability: must lie between',
    ],
    [
      'uncertainty zero',
      asked({ uncertainty: { expanded: 0, k: 2, unit: 'N.m' } }),
      'uncertainty.expanded: must be above zero',
    ],
    [
      'uncertainty below zero',
      asked({ uncertainty: { expanded: -1, k: 2, unit: 'N.m' } }),
      'uncertainty.expanded: must be above zero',
    ],
    ['no coverage factor', asked({ uncertainty: { expanded: 1, unit: 'N.m' } }), 'uncertainty.k: missing'],
    [
      'coverage factor zero',
      asked({ uncertainty: { expanded: 1, k: 0, unit: 'N.m' } }),
      'uncertainty.k: must be above zero',
    ],
    ['no uncertainty', asked({ uncertainty: undefined }), 'uncertainty: missing'],
  ])('%s: one clear line, exit 2, nothing printed', async (_, input, sentence) => {
    const { code, out, error } = await call(judgeCommand, input);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(sentence);
    expect(error).not.toContain('\n');
  });

  test.each([
    ['reading.value', asked().replace('"value":19', '"value":19,"value":20')],
    ['quantity', asked().replace('{', '{"quantity":"torque",')],
    ['line 2: band.unit', `${asked()}\n${asked().replace('"target"', '"unit":"N.m","target"')}`],
    ['reading.value', asked().replace('"value":19', '"value":19,"valu\\u0065":20')],
  ])('a name that stands twice is no answer to which one is meant: %s', async (field, input) => {
    const { code, out, error } = await call(judgeCommand, input);
    expect(error).toBe(`${field}: stands twice in its object; remove the wrong one`);
    expect({ code, out }).toEqual({ code: 2, out: '' });
  });

  test.each(['null', '5', '"19 lbf.ft"'])('an input that is no object is called so: %s', async (input) => {
    const { code, error } = await call(judgeCommand, input);
    expect(error).toMatch(/^input must be an object, not /);
    expect(code).toBe(2);
  });

  test('the same name in two objects, or as a value, is none that stands twice', async () => {
    const { code } = await call(
      judgeCommand,
      asked({ note: ['quantity', 'quantity', { quantity: 'rule' }] }),
    );
    expect(code).toBe(1);
  });
});
