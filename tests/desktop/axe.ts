import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type Axe from 'axe-core';
import type { Page } from 'playwright-core';

declare global {
  interface Window {
    /** Put there by the source below. */
    readonly axe: typeof Axe;
  }
}

/** axe-core (Deque, open source): the outside judge of WCAG 2.2, levels A and AA. */
const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
/** A theme is other values of colours, so in the others only these rules can find anything else. */
const colourRules = ['color-contrast', 'link-in-text-block'];
const themes = ['light', 'dark', 'contrast'];

/** What axe finds on the page as it stands, in every theme; the light one is left on. */
export async function axeFindings(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(source);
  return page.evaluate(
    async ({ names, tags, colours }) => {
      const found: string[] = [];
      for (const [index, theme] of names.entries()) {
        document.documentElement.dataset.theme = theme;
        const runOnly = index === 0 ? tags : { type: 'rule' as const, values: colours };
        const { violations } = await window.axe.run(document, { runOnly, resultTypes: ['violations'] });
        for (const { id, nodes } of violations)
          for (const { html } of nodes) found.push(`${theme} ${id}: ${html.slice(0, 160)}`);
      }
      document.documentElement.dataset.theme = 'light';
      return found;
    },
    { names: themes, tags: rules, colours: colourRules },
  );
}
