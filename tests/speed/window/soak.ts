import { pause } from '../../serial/waiting.ts';
import { quantile, type Row } from '../row.ts';
import { type Painted, takePainted, talkToPage } from './page-talk.ts';
import type { FedWindow } from './paint.ts';
import { handlesOf, residentMegabytes, treeOf, wordsOf } from './process-memory.ts';

const linesPerSecond = 50;
const lookEverySeconds = 20;
/** Five minutes; a screen that nobody touches for twenty is locked and paints no more. */
const looksBetweenTouches = 15;

interface Look {
  readonly pageHeapMegabytes: number;
  readonly stationMegabytes: number;
  readonly stationHandles: number;
  /** Of the lines painted since the look before. */
  readonly paintP50: number;
}

/** Feeds our window at 50 Hz for minutes and compares the first look with the last. */
export async function soak(
  window: FedWindow,
  netOf: (painted: Painted) => number,
  minutes: number,
  say: (line: string) => void,
): Promise<Row[]> {
  const station = stationOf(window.program.process.pid ?? 0);
  const looks: Look[] = [];
  const wanted = Math.max(3, Math.round((minutes * 60) / lookEverySeconds));
  for (let look = 0; look < wanted; look += 1) {
    const sent = await feedFor(window, lookEverySeconds);
    if (look % looksBetweenTouches === 0) await touchScreen(window);
    const { painted, heap } = await talkToPage(window.program, async (page) => ({
      painted: await takePainted(page),
      heap: await page.heapBytes(),
    }));
    if (painted.length === 0) throw new Error('the window paints nothing any more');
    looks.push({
      pageHeapMegabytes: heap / 1e6,
      stationMegabytes: residentMegabytes(station),
      stationHandles: handlesOf(station),
      paintP50: quantile(paintTimes(sent, painted, netOf), 0.5),
    });
    say(`soak ${look + 1} of ${wanted}: ${JSON.stringify(looks.at(-1))}`);
  }
  // The first look still warms up.
  const [first, last] = [looks[1], looks.at(-1)];
  if (first === undefined || last === undefined) throw new Error('too few looks');
  const about = {
    kind: 'cost',
    baseline: `ours at the beginning (soak of ${minutes} min at 50 Hz)`,
    runs: 1,
  } as const;
  return [
    { name: 'soak: heap of the page', unit: 'MB', ...about, ...pair('pageHeapMegabytes') },
    { name: 'soak: memory of the station (RSS)', unit: 'MB', ...about, ...pair('stationMegabytes') },
    { name: 'soak: handles of the station', unit: '', ...about, ...pair('stationHandles') },
    { name: 'soak: byte to paint p50', unit: 'ms', ...about, ...pair('paintP50') },
  ];

  function pair(name: keyof Look): Pick<Row, 'ours' | 'bare'> {
    return { ours: last?.[name] ?? Number.NaN, bare: first?.[name] ?? Number.NaN };
  }
}

/** Somebody opens the history of the serial and closes it again. */
async function touchScreen({ program }: FedWindow): Promise<void> {
  await talkToPage(program, async (page) => {
    await page.press('F6', 117);
    await pause(500);
    await page.press('Escape', 27);
  });
}

/** Lines at 50 Hz; returns when each was written, by tenths of a gram. A value comes again after five seconds. */
async function feedFor(window: FedWindow, seconds: number): Promise<{ step: number; at: number }[]> {
  const sent: { step: number; at: number }[] = [];
  const start = performance.now();
  for (let line = 0; line < seconds * linesPerSecond; line += 1) {
    const step = 1 + (line % 250);
    sent.push({ step, at: window.feed(step / 10) });
    await pause(Math.max(0, start + ((line + 1) * 1000) / linesPerSecond - performance.now()));
  }
  await pause(200);
  return sent;
}

/** At 50 Hz two lines may meet in one frame; then the first is never painted and does not count. */
function paintTimes(
  sent: readonly { step: number; at: number }[],
  painted: readonly Painted[],
  netOf: (painted: Painted) => number,
): number[] {
  const times: number[] = [];
  let next = 0;
  for (const one of painted) {
    const step = Math.round(netOf(one) * 10);
    const found = sent.findIndex((line, index) => index >= next && line.step === step && line.at < one.at);
    if (found < 0) continue;
    next = found + 1;
    times.push(one.at - (sent[found]?.at ?? Number.NaN));
  }
  return times;
}

/** The process that runs the station: the one that was started with its module. */
function stationOf(pid: number): number {
  const station = treeOf(pid).find((one) => wordsOf(one).some((word) => word.endsWith('station.mjs')));
  // In Electron's own utility process there is none with that word: then the whole program is looked at.
  return station ?? pid;
}
