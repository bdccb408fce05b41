import { readdirSync, readFileSync } from 'node:fs';

export interface ProcessMemory {
  /** Pages in memory, shared ones counted in every process that has them. */
  readonly residentMegabytes: number;
  /** The same with shared pages divided among the processes that have them. */
  readonly proportionalMegabytes: number;
}

/** Memory of a process and everything that it started (Linux: /proc, smaps_rollup). */
export function memoryOfTree(pid: number): ProcessMemory {
  let resident = 0;
  let proportional = 0;
  for (const process of treeOf(pid)) {
    const rollup = readText(`/proc/${process}/smaps_rollup`);
    resident += kilobytes(rollup, 'Rss');
    proportional += kilobytes(rollup, 'Pss');
  }
  return { residentMegabytes: resident / 1000, proportionalMegabytes: proportional / 1000 };
}

/** A process and its descendants. */
export function treeOf(pid: number): number[] {
  const parents = new Map<number, number>();
  for (const name of readdirSync('/proc')) {
    if (!/^\d+$/.test(name)) continue;
    // The name in parentheses may hold anything; what follows it is numbers.
    const fields = readText(`/proc/${name}/stat`).split(') ').at(-1)?.split(' ');
    parents.set(Number(name), Number(fields?.[1]));
  }
  const tree = [pid];
  for (const parent of tree) {
    for (const [child, of] of parents) if (of === parent) tree.push(child);
  }
  return tree;
}

/** How many files, sockets and other handles a process holds. */
export function handlesOf(pid: number): number {
  return readdirSync(`/proc/${pid}/fd`).length;
}

/** The words that a process was started with. */
export function wordsOf(pid: number): string[] {
  return readText(`/proc/${pid}/cmdline`).split('\0');
}

export function residentMegabytes(pid: number): number {
  return kilobytes(readText(`/proc/${pid}/smaps_rollup`), 'Rss') / 1000;
}

/** Processes come and go while we look. */
function readText(file: string): string {
  try {
    return readFileSync(file, 'latin1');
  } catch {
    return '';
  }
}

function kilobytes(text: string, name: string): number {
  return Number(new RegExp(`^${name}:\\s+(\\d+) kB`, 'm').exec(text)?.[1] ?? 0);
}
