import type { CDPSession, Page } from 'playwright-core';

/** A barcode reader that types as a keyboard: every key carries its own time, however busy the machine is. */
export class Scanner {
  readonly #session: CDPSession;

  static async plugInto(page: Page): Promise<Scanner> {
    return new Scanner(await page.context().newCDPSession(page));
  }

  private constructor(session: CDPSession) {
    this.#session = session;
  }

  /** Types a code and Enter, this long from key to key. */
  async scan(code: string, gapMilliseconds = 6): Promise<void> {
    const startedAt = Date.now();
    const keys = [...code].map((key) => ({ key, text: key }));
    for (const [index, { key, text }] of [...keys, { key: 'Enter', text: '\r' }].entries()) {
      const timestamp = (startedAt + index * gapMilliseconds) / 1000;
      const about = { key, timestamp, ...(key === 'Enter' ? { code: key, windowsVirtualKeyCode: 13 } : {}) };
      await this.#session.send('Input.dispatchKeyEvent', { type: 'keyDown', text, ...about });
      await this.#session.send('Input.dispatchKeyEvent', { type: 'keyUp', ...about });
    }
  }
}
