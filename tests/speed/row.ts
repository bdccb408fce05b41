import { loadavg } from 'node:os';

/** One line of the table: a figure of ours beside the same figure of the bare metal, both medians of the runs. */
export interface Row {
  readonly name: string;
  readonly unit: string;
  readonly ours: number;
  readonly bare: number;
  /** What the bare figure is, in a few words. */
  readonly baseline: string;
  /**
   * `cost`: the ratio is ours / bare and should be small; `rate`: the same for what should be large; `slowdown`: the
   * figures are rates, and the ratio is bare / ours, how much longer the same takes.
   */
  readonly kind: 'cost' | 'rate' | 'slowdown';
  /** What the ratio aims at: at least for a rate, otherwise at most. */
  readonly aim?: number;
  readonly runs: number;
  /** Anything that must be said beside the figures. */
  readonly note?: string;
}

/** The medians of figures that were measured by turns, as a row. */
export function rowOf(
  about: Omit<Row, 'ours' | 'bare' | 'runs'>,
  ours: readonly number[],
  bare: readonly number[],
): Row {
  return { ...about, ours: median(ours), bare: median(bare), runs: Math.min(ours.length, bare.length) };
}

export function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}

/** The value below which this share of the values lies (nearest rank, rounded down). */
export function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.floor(share * (sorted.length - 1))] ?? Number.NaN;
}

export function timed(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

/** Two pieces of work by turns, so that what else the machine does meets both; the first round only warms up. */
export function byTurns(runs: number, ours: () => number, bare: () => number): [number[], number[]] {
  const mine: number[] = [];
  const theirs: number[] = [];
  for (let run = -1; run < runs; run += 1) {
    const figures = run % 2 === 0 ? [ours(), bare()] : [bare(), ours()].reverse();
    if (run < 0) continue;
    mine.push(figures[0] ?? Number.NaN);
    theirs.push(figures[1] ?? Number.NaN);
  }
  return [mine, theirs];
}

/** The rows as a table in plain text. */
export function tableOf(rows: readonly Row[]): string {
  const cells = [
    ['', 'ours', 'bare', 'unit', 'ratio', 'aim', 'runs', 'bare is'],
    ...rows.map((row) => [
      row.name,
      figure(row.ours),
      figure(row.bare),
      row.unit,
      ratioOf(row).toFixed(2),
      row.aim === undefined
        ? ''
        : `${row.kind === 'rate' ? '≥' : '≤'} ${row.aim}${meets(row) ? '' : ' missed'}`,
      String(row.runs),
      row.baseline,
    ]),
  ];
  const widths = cells[0]?.map((_, column) => Math.max(...cells.map((line) => (line[column] ?? '').length)));
  const lines = cells.map((line) =>
    line.map((cell, column) => cell.padEnd(widths?.[column] ?? 0)).join('  '),
  );
  const notes = rows.filter(({ note }) => note !== undefined).map(({ name, note }) => `${name}: ${note}`);
  return [...lines.map((line) => line.trimEnd()), ...notes].join('\n');
}

/** One, five and fifteen minutes. */
export function loadText(): string {
  return loadavg()
    .map((load) => load.toFixed(2))
    .join(' ');
}

function ratioOf({ kind, ours, bare }: Row): number {
  return kind === 'slowdown' ? bare / ours : ours / bare;
}

function meets(row: Row): boolean {
  const { kind, aim = Number.NaN } = row;
  return kind === 'rate' ? ratioOf(row) >= aim : ratioOf(row) <= aim;
}

function figure(value: number): string {
  if (value >= 1000) return Math.round(value).toLocaleString('en').replaceAll(',', ' ');
  return value >= 100 ? value.toFixed(0) : value >= 10 ? value.toFixed(1) : value.toPrecision(3);
}
