// `node tests/speed/screen.ts [MINUTES]`: our page fed at 50 lines a second by a real station. Prints frames a second,
// the longest wait for a frame, layout shift and the heap of the page. Asserts nothing.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { createPseudoTerminal } from '../../drivers/simulated/pseudo-terminal.ts';
import { buildOut } from '../../electron/launch/build.ts';
import { serveStation } from '../../electron/station/serve.ts';
import { pause } from '../serial/waiting.ts';
import { loadText } from './row.ts';
import { goToFill } from './window/bench-page.ts';
import { makeSpeedWorkshop } from './window/speed-workshop.ts';

const linesPerSecond = 50;
const lookEverySeconds = 20;
const dishGrams = 41.87;

interface Look {
  readonly framesPerSecond: number;
  readonly longestFrameMilliseconds: number;
  readonly framesOver50Milliseconds: number;
  /** Sum of layout-shift values (Layout Instability API) since the start. */
  readonly layoutShift: number;
  readonly moved: string;
  readonly heapMegabytes: number;
}

interface Shift {
  readonly value: number;
  readonly sources: readonly { readonly node: Node | null }[];
}

interface Figures {
  readonly frames: number;
  readonly longest: number;
  readonly late: number;
  readonly shift: number;
  /** Classes of the boxes in which something moved. */
  readonly moved: string;
}

/** From now on the page counts its frames and what moved without anybody's doing. */
function watch(page: Page): Promise<void> {
  return page.evaluate(() => {
    const figures = { frames: 0, longest: 0, late: 0, shift: 0, moved: '' };
    Object.assign(window, { figures });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries() as unknown as Shift[]) {
        figures.shift += entry.value;
        const names = entry.sources.map(({ node }) => node?.parentElement?.className ?? '');
        for (const name of names) if (!figures.moved.includes(name)) figures.moved += ` ${name}`;
      }
    }).observe({ type: 'layout-shift', buffered: false });
    let last = performance.now();
    const frame = (now: number) => {
      figures.frames += 1;
      figures.longest = Math.max(figures.longest, now - last);
      if (now - last > 50) figures.late += 1;
      last = now;
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  });
}

/** The figures since the last look. */
function takeFigures(page: Page): Promise<Figures> {
  return page.evaluate(() => {
    const { figures } = window as unknown as { figures: Figures };
    const taken = { ...figures };
    Object.assign(figures, { frames: 0, longest: 0, late: 0 });
    return taken;
  });
}

/** Bytes of the page's JavaScript heap, without what its garbage and what `goToFill` noted takes. */
async function heapOf(page: Page): Promise<number> {
  await page.evaluate('window.painted?.splice(0)');
  const session = await page.context().newCDPSession(page);
  await session.send('HeapProfiler.collectGarbage');
  const { usedSize } = await session.send('Runtime.getHeapUsage');
  await session.detach();
  return usedSize;
}

async function main(minutes: number): Promise<void> {
  await buildOut((line) => process.stderr.write(`${line}\n`), ['renderer']);
  const browser = await chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: [...(process.getuid?.() === 0 ? ['--no-sandbox'] : []), '--disable-gpu', '--no-first-run'],
  });
  const data = mkdtempSync(join(tmpdir(), 'bandwright-screen-'));
  const cable = createPseudoTerminal('scale');
  await makeSpeedWorkshop(data, cable.path);
  const served = await serveStation(data, 0);
  const feed = (grams: number) =>
    cable.send(Buffer.from(`ST,GS,+${grams.toFixed(2).padStart(8)} g\r\n`, 'latin1'));
  try {
    const page = await browser.newPage({ viewport: { width: 1366, height: 768 } });
    await page.goto(served.server.address());
    const dish = setInterval(() => feed(dishGrams), 1000 / linesPerSecond);
    await goToFill(page, async () => {
      await page.locator('[data-testid=verdict][data-verdict=settled]').waitFor();
      await page.keyboard.press('Enter');
    });
    clearInterval(dish);
    await watch(page);
    const looks: Look[] = [];
    for (let look = 0; look < Math.max(2, Math.round((minutes * 60) / lookEverySeconds)); look += 1) {
      await takeFigures(page);
      const started = performance.now();
      // A fill in five seconds, through every verdict, again and again.
      for (let line = 0; line < lookEverySeconds * linesPerSecond; line += 1) {
        feed(dishGrams + (line % 250) / 10);
        await pause(Math.max(0, started + ((line + 1) * 1000) / linesPerSecond - performance.now()));
      }
      const seconds = (performance.now() - started) / 1000;
      const { frames, longest, late, shift, moved } = await takeFigures(page);
      looks.push({
        framesPerSecond: frames / seconds,
        longestFrameMilliseconds: longest,
        framesOver50Milliseconds: late,
        layoutShift: shift,
        moved,
        heapMegabytes: (await heapOf(page)) / 1e6,
      });
      process.stdout.write(`${JSON.stringify(looks.at(-1))}  load ${loadText()}\n`);
    }
    const [first, last] = [looks[1], looks.at(-1)];
    process.stdout.write(
      `${linesPerSecond} lines a second for ${minutes} min: ${mean(looks.map((one) => one.framesPerSecond))} frames a ` +
        `second on average, layout shift ${last?.layoutShift}, heap ${first?.heapMegabytes.toFixed(2)} MB in the ` +
        `second look and ${last?.heapMegabytes.toFixed(2)} MB in the last\n`,
    );
  } finally {
    await browser.close();
    await served.close();
    cable.dispose();
    rmSync(data, { recursive: true, force: true });
  }
}

function mean(values: readonly number[]): string {
  return (values.reduce((sum, one) => sum + one, 0) / values.length).toFixed(1);
}

await main(Number(process.argv[2] ?? 2));
