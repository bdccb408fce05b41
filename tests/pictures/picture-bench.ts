import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { type Clock, createSystemClock, formatWallTime } from '../../drivers/port/clock.ts';
import type { SimulatedScale } from '../../drivers/simulated/simulated-scale.ts';
import type { SimulatedWrench } from '../../drivers/simulated/simulated-wrench.ts';
import { buildOut } from '../../electron/launch/build.ts';
import { generateJobs } from '../../electron/station/audit/generate.ts';
import { type ServedStation, serveStation } from '../../electron/station/serve.ts';
import { hiddenTexts } from './hidden-text.ts';

export const languages = ['en', 'de'] as const;
export const themes = ['light', 'dark', 'contrast'] as const;
export const sizes = [
  { width: 1366, height: 768 },
  { width: 1920, height: 1080 },
] as const;

/** How a screen looks while its picture is taken. */
export interface View {
  readonly language: (typeof languages)[number];
  readonly theme: (typeof themes)[number];
  readonly size: (typeof sizes)[number];
}

/** The hour of the pictures; the invented certificates are dated by it. */
const firstMoment = Date.parse('2026-11-25T08:30:00Z');
/** How many invented jobs lie behind the bench, for the auditor. */
export const pastJobs = 120;

const mostWaitMilliseconds = 30_000;
const scaleInUse = 'scale-1';

/** The wall clock begins at a day of our choice and can be moved on. */
interface PictureClock extends Clock {
  moveOn(milliseconds: number): void;
}

function createPictureClock(): PictureClock {
  const real = createSystemClock();
  const start = real.nowMilliseconds();
  let ahead = 0;
  return {
    nowMilliseconds: () => real.nowMilliseconds(),
    wallTime: () => formatWallTime(firstMoment + ahead + Math.round(real.nowMilliseconds() - start), 60),
    moveOn(milliseconds) {
      ahead += milliseconds;
    },
  };
}

/**
 * The real station on a demo folder with its simulated instruments, and one page of it for each language and look:
 * all pages are screens of the same session, so they show the same moment.
 */
export class PictureBench {
  readonly folder = mkdtempSync(join(tmpdir(), 'bandwright-pictures-'));
  readonly clock = createPictureClock();
  readonly #pages = new Map<string, Page>();
  readonly #errors: string[] = [];
  readonly #hidden: string[] = [];
  #served: ServedStation | undefined;
  #context: BrowserContext | undefined;

  /** What the pages' consoles said that should not be: errors, and what the content policy forbade. */
  get errors(): readonly string[] {
    return this.#errors;
  }

  /** Texts that could not be read whole on a picture. */
  get hidden(): readonly string[] {
    return this.#hidden;
  }

  get station() {
    if (this.#served === undefined) throw new Error('the station does not run');
    return this.#served.station;
  }

  get scale(): SimulatedScale {
    const simulator = this.station.bench.running(scaleInUse)?.simulator;
    if (simulator?.kind !== 'scale') throw new Error('no simulated scale');
    return simulator.scale;
  }

  get wrench(): SimulatedWrench {
    const simulator = this.station.bench.running(this.station.bench.assigned.wrench ?? '')?.simulator;
    if (simulator?.kind !== 'wrench') throw new Error('no simulated wrench');
    return simulator.wrench;
  }

  /** The page on which the work is done. */
  get hand(): Page {
    const first = this.#pages.values().next().value;
    if (first === undefined) throw new Error('no page is open');
    return first;
  }

  get pages(): readonly Page[] {
    return [...this.#pages.values()];
  }

  async open(views: readonly View[]): Promise<this> {
    await buildOut((line) => process.stderr.write(`${line}\n`), ['renderer']);
    // Before the station: a program started after it would hold the lines of the simulated instruments open.
    const browser = await chromium.launch({
      executablePath: '/usr/bin/chromium',
      args: [...(process.getuid?.() === 0 ? ['--no-sandbox'] : []), '--disable-gpu', '--no-first-run'],
    });
    this.#context = await browser.newContext({
      locale: 'en-GB',
      timezoneId: 'Europe/Berlin',
      viewport: sizes[0],
      reducedMotion: 'reduce',
    });
    generateJobs({ folder: this.folder, clock: this.clock, count: pastJobs, first: 1 });
    this.#served = await serveStation(this.folder, 0, { clock: this.clock, seed: 7 });
    for (const view of views) {
      const key = keyOf(view);
      if (!this.#pages.has(key)) this.#pages.set(key, await this.#openPage(view));
    }
    return this;
  }

  async #openPage({ language, theme }: View): Promise<Page> {
    if (this.#context === undefined || this.#served === undefined) throw new Error('not open');
    const page = await this.#context.newPage();
    page.setDefaultTimeout(mostWaitMilliseconds);
    page.on('console', (message) => {
      if (message.type() === 'error' && !/WebSocket|ERR_CONNECTION_REFUSED/.test(message.text()))
        this.#errors.push(message.text());
    });
    page.on('pageerror', (error) => this.#errors.push(String(error)));
    // Each page has settings of its own, though all share one storage.
    await page.addInitScript(
      (settings) => {
        Storage.prototype.getItem = () => settings;
        Storage.prototype.setItem = () => undefined;
      },
      JSON.stringify({ language, theme, muted: true }),
    );
    await page.goto(this.#served.server.address());
    return page;
  }

  /** Does the same on every page. */
  async each(work: (page: Page) => Promise<unknown>): Promise<void> {
    for (const page of this.pages) await work(page);
  }

  async see(selector: string): Promise<void> {
    await this.each((page) => page.locator(selector).first().waitFor({ state: 'attached' }));
  }

  /**
   * Takes the picture of the present moment.
   *
   * @param prepare brings about on the page what does not last, such as a pull
   */
  async take(view: View, file: string, prepare: (page: Page) => Promise<unknown>): Promise<void> {
    const page = this.#pages.get(keyOf(view));
    if (page === undefined) throw new Error('no page has this look');
    await page.setViewportSize(view.size);
    // A frame to lay out anew, one to draw the course.
    await page.evaluate(
      () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
    );
    await prepare(page);
    await page.screenshot({ path: file, animations: 'disabled', caret: 'hide' });
    for (const text of await hiddenTexts(page)) this.#hidden.push(`${basename(file)}: ${text}`);
  }

  /** Stops the station; the pages stay. `start` brings it back at the same address. */
  async stop(): Promise<number> {
    const port = this.#served?.server.port ?? 0;
    await this.#served?.close();
    this.#served = undefined;
    return port;
  }

  async start(port: number): Promise<void> {
    this.#served = await serveStation(this.folder, port, { clock: this.clock, seed: 7 });
    if (this.#served.server.port !== port) throw new Error('another program took the port');
    await this.see('body:not(:has([data-testid=connection]))');
  }

  /** Shows the desk that is read from another place on every page. */
  async showOtherDesk(): Promise<void> {
    await this.stop();
    const here = '127.0.0.1';
    const remote = { host: here, port: 0, names: [here], tls: null, certificateEnds: null };
    this.#served = await serveStation(this.folder, 0, { clock: this.clock, seed: 7, remote });
    const address = this.#served.remote?.url ?? '';
    await this.each((page) => page.goto(address));
  }

  /** Chooses no scale for the bench; looked at when the station starts. */
  forgetScale(): void {
    const chosen = { scale: null, wrench: 'wrench-1' };
    writeFileSync(join(this.folder, 'bench.json'), JSON.stringify(chosen));
  }

  async end(): Promise<void> {
    await this.#context?.browser()?.close();
    await this.#served?.close();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

function keyOf({ language, theme }: Pick<View, 'language' | 'theme'>): string {
  return `${language} ${theme}`;
}

/** Scrolls so that the first of these is at the top; done at each size, since the place is another at each. */
export function showing(selector: string): (page: Page) => Promise<void> {
  return (page) =>
    page
      .locator(selector)
      .first()
      .evaluate((element) => element.scrollIntoView({ block: 'start' }));
}

/** Unfolds everything that can be, on every page. */
export function unfold(bench: PictureBench): Promise<void> {
  return bench.each((page) =>
    page.evaluate(() => {
      for (const fold of document.querySelectorAll('details')) fold.open = true;
    }),
  );
}
