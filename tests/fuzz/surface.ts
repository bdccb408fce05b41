import fc from 'fast-check';

/** One place where something from outside comes in, and what must hold there for any input. */
export interface Surface {
  readonly name: string;
  /** What must hold, for the table. */
  readonly holds: string;
  /** Makes ready what the inputs are tried on; returns the property and how to clean up. */
  open(): Promise<OpenSurface>;
}

export interface OpenSurface {
  readonly property: fc.IRawProperty<unknown>;
  close?(): Promise<void>;
}

export interface SurfaceResult {
  readonly name: string;
  readonly holds: string;
  readonly inputs: number;
  readonly seconds: number;
  /** The smallest input that does not hold and why; null when none was found. */
  readonly finding: string | null;
}

export interface FuzzOptions {
  readonly milliseconds: number;
  readonly seed: number;
  /** At most so many inputs. */
  readonly inputs?: number;
}

/** Tries inputs on a surface until the time is over. */
export async function fuzz(surface: Surface, options: FuzzOptions): Promise<SurfaceResult> {
  const { milliseconds, seed, inputs = 10_000_000 } = options;
  const { name, holds } = surface;
  const opened = await surface.open();
  const startedAt = performance.now();
  try {
    const details = await fc.check(opened.property, {
      numRuns: inputs,
      interruptAfterTimeLimit: milliseconds,
      markInterruptAsFailure: false,
      seed,
    });
    const seconds = (performance.now() - startedAt) / 1000;
    // Without a counterexample the time was over before the first input was through.
    const finding = details.failed && details.counterexample !== null ? describe(details) : null;
    return { name, holds, inputs: details.numRuns, seconds, finding };
  } finally {
    await opened.close?.();
  }
}

function describe({ counterexample, errorInstance }: fc.RunDetails<unknown>): string {
  const reason = errorInstance instanceof Error ? (errorInstance.stack ?? errorInstance.message) : '';
  return `${fc.stringify(counterexample).slice(0, 2000)}\n${reason.slice(0, 2000)}`;
}

/** The table as text. */
export function tableOf(results: readonly SurfaceResult[]): string {
  const rows = [
    ['surface', 'inputs', 'seconds', 'findings', 'what must hold'],
    ...results.map(({ name, inputs, seconds, finding, holds }) => [
      name,
      String(inputs),
      seconds.toFixed(1),
      finding === null ? '0' : '1',
      holds,
    ]),
  ];
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows
    .map((row) =>
      row
        .map((cell, column) =>
          column >= 1 && column <= 3 ? cell.padStart(widths[column] ?? 0) : cell.padEnd(widths[column] ?? 0),
        )
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}
