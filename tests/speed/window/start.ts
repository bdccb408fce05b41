import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pause } from '../../serial/waiting.ts';
import { type Row, rowOf } from '../row.ts';
import { prepareSpeedPrograms, type SpeedPrograms } from './electron-program.ts';
import { memoryOfTree } from './process-memory.ts';
import { makeSpeedWorkshop } from './speed-workshop.ts';

const runs = 5;
const settleMilliseconds = 3000;

interface Started {
  readonly milliseconds: number;
  readonly residentMegabytes: number;
  readonly proportionalMegabytes: number;
}

/** From the start of the program to a painted page with a first live reading, and the memory that it then takes. */
export async function startRows(say: (line: string) => void): Promise<Row[]> {
  const programs = await prepareSpeedPrograms(say);
  const data = mkdtempSync(join(tmpdir(), 'bandwright-speed-'));
  await makeSpeedWorkshop(data, undefined);
  const ours: Started[] = [];
  const bare: Started[] = [];
  for (let run = -1; run < runs; run += 1) {
    const mine = await startOnce(programs, 'ours', [`--data=${data}`], 'live');
    const theirs = await startOnce(programs, 'bare', [], 'painted');
    if (run < 0) continue;
    ours.push(mine);
    bare.push(theirs);
  }
  rmSync(data, { recursive: true, force: true });
  const of = (name: keyof Started) => [ours.map((one) => one[name]), bare.map((one) => one[name])] as const;
  const baseline = 'Electron window of the same size that says hello';
  return [
    rowOf(
      { name: 'start to first live value', unit: 'ms', kind: 'cost', aim: 1.4, baseline },
      ...of('milliseconds'),
    ),
    rowOf(
      { name: 'memory, proportional (PSS)', unit: 'MB', kind: 'cost', aim: 1.3, baseline },
      ...of('proportionalMegabytes'),
    ),
    rowOf({ name: 'memory, resident (RSS)', unit: 'MB', kind: 'cost', baseline }, ...of('residentMegabytes')),
  ];
}

async function startOnce(
  programs: SpeedPrograms,
  name: 'ours' | 'bare',
  words: readonly string[],
  until: 'painted' | 'live',
): Promise<Started> {
  const program = programs.start(name, words, true);
  try {
    const milliseconds = (await program.said(until)) - program.startedAt;
    await pause(settleMilliseconds);
    return { milliseconds, ...memoryOfTree(program.process.pid ?? 0) };
  } finally {
    await program.quit();
  }
}
