import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildAutomaton, parsePattern } from '../../../drivers/profile/byte-automaton.ts';
import {
  compileStart,
  compileWhole,
  findPatternFault,
  groupNames,
  withoutNames,
} from '../../../drivers/profile/pattern.ts';
import { estimateSteps } from '../../../drivers/profile/pattern-cost.ts';
import { corpora } from '../decode/corpora.ts';

describe('patterns that could hang the station are refused', () => {
  test.each([
    '^(a+)+$',
    '^(a|a)*$', // scslre 0.3.0 overlooks it
    '^(?:a|ab|b)*c',
    '^(\\d{1,30}){1,30}X', // bounded, and two to the power of the line all the same
    '(\\d{1,2}){1,60}$',
    '(a*)*b',
    '(?:.{0,30}){0,30}',
    `${'a?'.repeat(30)}${'a'.repeat(30)}`,
    '(?:a|a)'.repeat(40),
    '(?!(a+)+$)b',
    '^\\d*\\d*\\d*\\d*\\d*X$',
    '.*'.repeat(100),
  ])('%s', (source) => {
    expect(findPatternFault(source, 64)).toMatch(/could try|repeats too many/);
  });

  test('the square of a short line is harmless, of a long one it is not', () => {
    expect(findPatternFault('^ *(?<value> *\\d+)$', 64)).toBeNull();
    expect(findPatternFault('^ *(?<value> *\\d+)$', 65_536)).toMatch(
      /could try too many ways to read a line of 65536 bytes/,
    );
  });

  test('what the analysis cannot follow is refused too', () => {
    expect(findPatternFault('^(?<a>x+)\\k<a>$', 64)).toMatch(/refers back/);
    expect(findPatternFault(`${'('.repeat(9)}a${')'.repeat(9)}`, 64)).toMatch(/nests groups/);
    expect(findPatternFault('a{2000}', 64)).toMatch(/repeats more than 1000 times/);
    expect(findPatternFault('x'.repeat(601), 64)).toMatch(/longer than 600/);
    expect(findPatternFault('\\A\\d+\\Z', 64)).toMatch(/holds the escape \\A/);
  });
});

test('the patterns of instrument lines pass', () => {
  const sources = corpora.flatMap(({ profile }) => [
    profile.pattern ?? '',
    ...profile.refuse_lines.map(({ pattern }) => pattern),
    ...profile.ignore_lines,
  ]);
  const usual = [
    '^PK,(?:[^,]*,){4}(?<value>\\d+)$',
    '(?:,[^,]*){3,8}$',
    '^(?: *\\d+){1,3}$',
    '^(?=[A-Z])(?<value>\\w+)$',
  ];
  for (const source of [...sources, ...usual])
    expect([source, findPatternFault(source, 128)]).toEqual([source, null]);
});

/** A random small expression, as text and as a matcher that counts its steps. */
interface Node {
  readonly source: string;
  match(text: string, at: number, then: (at: number) => boolean, count: () => void): boolean;
}

const leaf = fc.constantFrom('a', 'b', '[ab]', '.').map((source): Node => {
  const one = new RegExp(`^${source}$`);
  return {
    source,
    match: (text, at, then, count) => {
      count();
      return at < text.length && one.test(text[at]!) && then(at + 1);
    },
  };
});

const { node } = fc.letrec<{ node: Node }>((tie) => ({
  node: fc.oneof(
    { depthSize: 'small', withCrossShrink: true },
    leaf,
    fc.array(tie('node'), { minLength: 2, maxLength: 3 }).map(
      (parts): Node => ({
        source: parts.map(({ source }) => `(?:${source})`).join(''),
        match: (text, at, then, count) => {
          const from = (index: number, place: number): boolean =>
            index === parts.length
              ? then(place)
              : parts[index]!.match(text, place, (next) => from(index + 1, next), count);
          return from(0, at);
        },
      }),
    ),
    fc.array(tie('node'), { minLength: 2, maxLength: 3 }).map(
      (choices): Node => ({
        source: `(?:${choices.map(({ source }) => source).join('|')})`,
        match: (text, at, then, count) => choices.some((choice) => choice.match(text, at, then, count)),
      }),
    ),
    fc
      .tuple(tie('node'), fc.constantFrom([0, 1], [0, 99], [1, 99], [1, 3], [2, 2]))
      .map(([part, bounds]): Node => {
        const [least = 0, most = 1] = bounds;
        return {
          source: `(?:${part.source}){${least},${most === 99 ? '' : most}}`,
          match: (text, at, then, count) => {
            const repeat = (times: number, place: number): boolean =>
              (times < most &&
                part.match(
                  text,
                  place,
                  (next) => (next > place || times < least) && repeat(times + 1, next),
                  count,
                )) ||
              (times >= least && then(place));
            return repeat(0, at);
          },
        };
      }),
  ),
}));

test('the estimate is never below the steps that a backtracking matcher takes', () => {
  const longest = 14;
  const word = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: longest });
  fc.assert(
    fc.property(node, fc.array(word, { minLength: 1, maxLength: 5 }), ({ source, match }, words) => {
      if (source.length > 300) return;
      const estimate = estimateSteps(
        buildAutomaton(parsePattern(`^(?:${source})c$`).alternatives),
        longest + 1,
      );
      if (!Number.isFinite(estimate)) return;
      for (const text of [...words, 'a'.repeat(longest), 'ab'.repeat(longest / 2)]) {
        let steps = 0;
        match(
          text,
          0,
          (at) => text.length === at + 1 && text[at] === 'c',
          () => {
            steps += 1;
          },
        );
        expect(steps).toBeLessThanOrEqual(estimate);
      }
    }),
    { numRuns: 3000, seed: 7 },
  );
});

describe('group names', () => {
  test('are found in their order, not in escapes and classes', () => {
    expect(groupNames('^(?<a>x)(\\d)(?:(?<b>[(?<c>])\\(?<d>)(?<=e)(?<!f)$')).toEqual(['a', 'b']);
    expect(withoutNames('(?<a>x)(y)(?<b>z)')).toEqual({ source: '(x)(y)(z)', names: ['', 'a', '', 'b'] });
  });

  test('taken away they leave an expression that matches the same cells', () => {
    for (const { profile, bytes } of corpora) {
      if (profile.pattern === undefined) continue;
      const { source, names } = withoutNames(profile.pattern);
      for (const line of bytes.toString('latin1').split(/[^ -~]+/)) {
        const named = compileWhole(profile.pattern).exec(line);
        const plain = compileWhole(source).exec(line);
        expect(plain === null).toBe(named === null);
        for (const [index, name] of names.entries())
          if (name !== '') expect(plain?.[index]).toBe(named?.groups?.[name]);
      }
    }
  });

  test('a start pattern matches at the first character only', () => {
    expect(compileStart('OL|UL').test('xUL')).toBe(false);
    expect(compileStart('OL|UL').test('ULx')).toBe(true);
  });
});
