import type { Page } from 'playwright-core';

/**
 * Texts that a person at the screen cannot read whole, as the page lies now: cut off by a box that does not scroll, by
 * the step in hand (nobody scrolls with a tube in the hand), or broken inside a word. Bytes and hashes may break.
 */
export function hiddenTexts(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const found = new Set<string>();
    const walker = document.createTreeWalker(document.querySelector('dialog[open]') ?? document.body, 4);
    const range = document.createRange();
    for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
      const text = node.textContent?.trim() ?? '';
      const element = node.parentElement;
      if (text === '' || element === null || !element.checkVisibility({ visibilityProperty: true })) continue;
      if (element.closest('.visually-hidden, select, code, .hash, svg, script, noscript') !== null) continue;
      range.selectNodeContents(node);
      const lies = range.getBoundingClientRect();
      if (lies.width === 0) continue;
      for (let box: Element | null = element; box !== null; box = box.parentElement) {
        const { overflowX, overflowY } = getComputedStyle(box);
        const around = box.getBoundingClientRect();
        const cutsAcross = ['hidden', 'clip'].includes(overflowX);
        const cutsDown = ['hidden', 'clip'].includes(overflowY) || box.classList.contains('step');
        if (cutsAcross && (lies.left < around.left - 2 || lies.right > around.right + 2))
          found.add(`cut: ${text}`);
        if (cutsDown && (lies.top < around.top - 4 || lies.bottom > around.bottom + 4))
          found.add(`cut: ${text}`);
        if (['auto', 'scroll'].includes(overflowY) && !box.classList.contains('step')) break;
      }
      for (const word of (node.textContent ?? '').matchAll(/[\p{L}\p{N}]{2,}/gu)) {
        range.setStart(node, word.index);
        range.setEnd(node, word.index + word[0].length);
        const lines = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
        if (lines.size > 1) found.add(`broken: ${word[0]} in ${text}`);
      }
    }
    return [...found];
  });
}
