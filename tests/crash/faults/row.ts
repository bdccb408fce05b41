/** One line of the table of faults. */
export interface FaultRow {
  readonly fault: string;
  readonly rounds: number;
  /** Commands that had returned before the fault came. */
  readonly acknowledged: number;
  /** Of these, the captures of readings. */
  readonly captures: number;
  /** Acknowledged and not there afterwards, or there otherwise. Must be 0. */
  readonly lost: number;
  /** There twice. Must be 0. */
  readonly duplicated: number;
  /** From the fault (or its end) until the station worked again; one per round. */
  readonly recoveredMilliseconds: readonly number[];
  /** What else did not hold; must be empty. */
  readonly complaints: readonly string[];
  /** What the reader of the table should know. */
  readonly note: string;
}

/** The value below which this share of the values lies (nearest rank); NaN without values. */
export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

export function holds({ lost, duplicated, complaints }: FaultRow): boolean {
  return lost === 0 && duplicated === 0 && complaints.length === 0;
}

/** The row of a trial that could not be carried through: it shows nothing, so it does not hold. */
export function brokenOff(fault: string, error: unknown): FaultRow {
  const complaints = [`broke off: ${error instanceof Error ? error.stack : String(error)}`];
  const nothing = { rounds: 0, acknowledged: 0, captures: 0, lost: 0, duplicated: 0 };
  return { fault, ...nothing, recoveredMilliseconds: [], complaints, note: 'broke off' };
}

/** A row as one line, for who waits for the table. */
export function lineOf(row: FaultRow): string {
  const [fault, rounds, acknowledged, captures, lost, duplicated, half, most] = cellsOf(row);
  return `${holds(row) ? '✓' : '✗'} ${fault}: ${rounds} rounds, ${acknowledged} acknowledged (${captures} captures), ${lost} lost, ${duplicated} duplicated, recovered in ${half} ms (p50), ${most} ms (p99)`;
}

const headings = [
  'fault',
  'rounds',
  'acknowledged',
  'captures',
  'lost',
  'duplicated',
  'recovered p50 ms',
  'p99 ms',
  'note',
] as const;

/** The table as text. */
export function tableOf(rows: readonly FaultRow[]): string {
  const cells = [headings, ...rows.map(cellsOf)];
  const widths = headings.map((_, column) => Math.max(...cells.map((row) => row[column]?.length ?? 0)));
  const isNumber = (column: number) => column > 0 && column < headings.length - 1;
  return cells
    .map((row) =>
      row
        .map((cell, column) =>
          isNumber(column) ? cell.padStart(widths[column] ?? 0) : cell.padEnd(widths[column] ?? 0),
        )
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

function cellsOf(row: FaultRow): readonly string[] {
  const time = (share: number) =>
    row.recoveredMilliseconds.length === 0 ? '-' : quantile(row.recoveredMilliseconds, share).toFixed(0);
  const { rounds, acknowledged, captures, lost, duplicated } = row;
  return [
    row.fault,
    ...[rounds, acknowledged, captures, lost, duplicated].map(String),
    time(0.5),
    time(0.99),
    row.note,
  ];
}
