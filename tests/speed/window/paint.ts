import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createPseudoTerminal } from '../../../drivers/simulated/pseudo-terminal.ts';
import { pause } from '../../serial/waiting.ts';
import { quantile, type Row, rowOf } from '../row.ts';
import { goToFill, onPage, untilPage } from './bench-page.ts';
import { preciseNow, prepareSpeedPrograms, type RunningProgram } from './electron-program.ts';
import { type Painted, takePainted, talkToPage } from './page-talk.ts';
import { soak } from './soak.ts';
import { makeSpeedWorkshop } from './speed-workshop.ts';

const runs = 5;
const linesARun = 200;
/** Longer than a frame, and never in step with the frames. */
const shortestGapMilliseconds = 25;
const gapSpreadMilliseconds = 20;
const dishGrams = 41.87;

/** A window that is fed through a pseudo-terminal of its own. */
export interface FedWindow {
  readonly program: RunningProgram;
  /** Writes one line of the scale with this much in the dish; returns the instant before the write. */
  feed(netGrams: number): number;
}

/** From the byte at the pseudo-terminal to the painted value; and for a soak, what long feeding does to ours. */
export async function paintRows(soakMinutes: number, say: (line: string) => void): Promise<Row[]> {
  const programs = await prepareSpeedPrograms(say);
  const data = mkdtempSync(join(tmpdir(), 'bandwright-speed-'));
  const cables = { ours: createPseudoTerminal('scale'), bare: createPseudoTerminal('scale') };
  await makeSpeedWorkshop(data, cables.ours.path);
  const debugging = '--remote-debugging-port=0';
  const running = {
    ours: programs.start('ours', [debugging, `--data=${data}`], false),
    bare: programs.start('bare', [debugging, `--port=${cables.bare.path}`], false),
  };
  const windowOf = (name: 'ours' | 'bare'): FedWindow => ({
    program: running[name],
    feed(netGrams) {
      const line = `ST,GS,+${(dishGrams + netGrams).toFixed(2).padStart(8)} g\r\n`;
      const at = preciseNow();
      cables[name].send(Buffer.from(line, 'latin1'));
      return at;
    },
  });
  const [ours, bare] = [windowOf('ours'), windowOf('bare')];
  try {
    await untilPage(running.ours, /^http:/);
    await untilPage(running.bare, /^data:/);
    await onPage(running.ours, (page) =>
      goToFill(page, () => weighDish(ours, () => page.keyboard.press('Enter'))),
    );
    const middle = { ours: [] as number[], bare: [] as number[] };
    const late = { ours: [] as number[], bare: [] as number[] };
    for (let run = -1; run < runs; run += 1) {
      const figures = { ours: await latencies(ours, netOfOurs), bare: await latencies(bare, netOfBare) };
      if (run < 0) continue;
      for (const name of ['ours', 'bare'] as const) {
        middle[name].push(quantile(figures[name], 0.5));
        late[name].push(quantile(figures[name], 0.99));
      }
    }
    const about = {
      unit: 'ms',
      kind: 'cost',
      baseline: 'Electron window that paints the raw line: serialport in main, one IPC message',
    } as const;
    const rows = [
      rowOf({ name: 'byte to paint p50', ...about }, middle.ours, middle.bare),
      rowOf({ name: 'byte to paint p99', ...about, aim: 1.2 }, late.ours, late.bare),
    ];
    return soakMinutes > 0 ? [...rows, ...(await soak(ours, netOfOurs, soakMinutes, say))] : rows;
  } finally {
    await running.ours.quit();
    await running.bare.quit();
    for (const cable of Object.values(cables)) cable.dispose();
    rmSync(data, { recursive: true, force: true });
  }
}

/** An empty dish at rest until it counts as settled, then the key. */
async function weighDish(window: FedWindow, press: () => Promise<void>): Promise<void> {
  for (let line = 0; line < 30; line += 1) {
    window.feed(0);
    await pause(50);
    if (line === 24) await press();
  }
}

/** Time from byte to paint of one run's lines, milliseconds. */
async function latencies(window: FedWindow, netOf: (painted: Painted) => number): Promise<number[]> {
  await talkToPage(window.program, takePainted);
  const sent: { readonly step: number; readonly at: number }[] = [];
  for (let line = 1; line <= linesARun; line += 1) {
    // A tenth of a gram apart: what the certificate corrects is less, so each painted value tells its line.
    sent.push({ step: line, at: window.feed(line / 10) });
    await pause(shortestGapMilliseconds + ((line * 7919) % 101) * (gapSpreadMilliseconds / 100));
  }
  await pause(200);
  const painted = await talkToPage(window.program, takePainted);
  const byStep = new Map(painted.map((one) => [Math.round(netOf(one) * 10), one.at]));
  const times = sent.flatMap(({ step, at }) => {
    const paintedAt = byStep.get(step);
    return paintedAt === undefined ? [] : [paintedAt - at];
  });
  // On a busy machine two lines may meet in one frame; then the first is never painted.
  if (times.length < linesARun / 2)
    throw new Error(`only ${times.length} of ${linesARun} lines were painted`);
  return times;
}

function netOfOurs({ text }: Painted): number {
  return Number(text);
}

function netOfBare({ text }: Painted): number {
  return Number(/[\d.]+/.exec(text)?.[0]) - dishGrams;
}
