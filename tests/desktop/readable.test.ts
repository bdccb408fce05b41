import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hiddenTexts } from '../pictures/hidden-text.ts';
import { languages, PictureBench, sizes } from '../pictures/picture-bench.ts';
import { Technician } from '../pictures/technician.ts';

/** One page in each language on the smallest screen that the bench is made for, 1366 × 768. */
const bench = new PictureBench();
const amber = new Technician(bench);

beforeAll(() => bench.open(languages.map((language) => ({ language, theme: 'light', size: sizes[0] }))));
afterAll(() => bench.end());

async function expectReadable(): Promise<void> {
  for (const page of bench.pages) {
    const text = await page.locator('.page').textContent();
    expect(await hiddenTexts(page), text?.slice(0, 200)).toEqual([]);
  }
}

describe('whatever the scale and the wrench show, no text is cut off or broken inside a word', () => {
  test('an empty dish, a fill, a value near its limit, one of six digits, and no dish', async () => {
    await amber.signIn('DEMO-AMBER', '2580');
    await amber.openJob('SLT-2001', 'sheet-slate-short');
    await amber.workUntil('fill');
    await expectReadable();
    await amber.putDishOn();
    await amber.takeTare();
    await amber.untilVerdict('short');
    await expectReadable();
    await amber.fillTo(18.59, 'conditional pass');
    await expectReadable();
    bench.scale.act({ kind: 'put on', massGrams: 1300.5 });
    await bench.each((page) =>
      page
        .getByTestId('live-value')
        .filter({ hasText: /^13\d\d/ })
        .waitFor(),
    );
    await amber.untilVerdict('fail');
    await expectReadable();
    bench.scale.act({ kind: 'take off' });
    bench.scale.act({ kind: 'dish off' });
    await amber.untilVerdict('absent');
    await expectReadable();
  });

  test('two faults of the station at once, above a caution, a pull and what is to be done', async () => {
    await amber.press('Escape');
    await amber.openJob('COP-1001', 'sheet-copper');
    await amber.workUntil('fill');
    await amber.putDishOn();
    await amber.takeTare();
    await amber.fillTo(9.5, 'pass');
    await amber.press('Enter');
    await amber.workUntil('tighten');
    // The longest sentences of faults.
    for (const code of ['site_fork', 'site_another_chain']) bench.station.reportFault(code, code);
    await bench.see('[data-testid=faults] > :nth-child(2)');
    await expectReadable();
    await amber.pull(9.6, 'fail');
    for (const size of sizes.toReversed()) {
      await bench.each((page) => page.setViewportSize(size));
      await expectReadable();
    }
    bench.station.endFaults(['site_fork', 'site_another_chain']);
  });

  test('the current step stands in the list, and the list in the page', async () => {
    for (const page of bench.pages) {
      const inSight = await page.locator('.step-list > .is-current').evaluate((item) => {
        const [own, list] = [item, item.parentElement ?? item].map((one) => one.getBoundingClientRect());
        return (
          own !== undefined && list !== undefined && own.top >= list.top - 1 && own.bottom <= list.bottom + 1
        );
      });
      expect(inSight).toBe(true);
    }
  });
});
