import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Fragment, flowPages } from '../../../electron/station/documents/page-flow.ts';

const draw = () => {};
const heading: Fragment = { height: 10, draw };

const fragments = fc.array(
  fc.record({
    height: fc.integer({ min: 1, max: 40 }),
    gap: fc.integer({ min: 0, max: 10 }),
    keepWithNext: fc.boolean(),
    repeats: fc.boolean(),
  }),
  { minLength: 1, maxLength: 80 },
);

test('every fragment comes once, in order, and inside the page', () => {
  fc.assert(
    fc.property(fragments, (wishes) => {
      const all: Fragment[] = wishes.map(({ repeats, ...rest }) => ({
        ...rest,
        draw,
        ...(repeats ? { repeat: heading } : {}),
      }));
      const pages = flowPages(all, 100);
      expect(
        pages
          .flat()
          .filter(({ fragment }) => fragment !== heading)
          .map(({ fragment }) => fragment),
      ).toEqual(all);
      for (const page of pages) {
        let used = 0;
        for (const { fragment, top } of page) {
          expect(top).toBeGreaterThanOrEqual(used);
          used = top + fragment.height;
        }
        expect(used).toBeLessThanOrEqual(100);
      }
    }),
  );
});

test('a heading goes over to the next page with what follows it', () => {
  const text: Fragment = { height: 90, draw };
  const title: Fragment = { height: 8, keepWithNext: true, draw };
  const line: Fragment = { height: 8, draw };
  expect(flowPages([text, title, line], 100).map((page) => page.map(({ fragment }) => fragment))).toEqual([
    [text],
    [title, line],
  ]);
});

test('what runs over a page is named again at the top of the next', () => {
  const line: Fragment = { height: 30, repeat: heading, draw };
  const pages = flowPages([line, line, line, line], 100);
  expect(pages.map((page) => page[0]!.fragment === heading)).toEqual([false, true]);
});
