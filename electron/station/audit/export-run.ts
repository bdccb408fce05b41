import type { Result } from '../../../shared/result.ts';
import type { CaptureFilter } from '../store/filters.ts';
import type { BundleCounts, BundleProgress } from './bundle.ts';
import type { CsvStyle } from './csv.ts';
import { runTask } from './task.ts';

export interface ExportRunOptions {
  readonly folder: string;
  /** File of readings, or a new folder for a bundle. */
  readonly target: string;
  readonly format: 'csv' | 'jsonl' | 'bundle';
  readonly style: CsvStyle;
  /** Null: everything; for a bundle the whole chain with its seals. */
  readonly filter: CaptureFilter | null;
  /** Now, ISO 8601 with offset. */
  readonly at: string;
  /** At the desk of a site: the chain that a bundle is of. */
  readonly chainId?: number | undefined;
  readonly onProgress?: (progress: BundleProgress) => void;
  readonly signal?: AbortSignal;
}

/** What went into a bundle, or how many readings could not go into a file because they were altered or removed. */
export type ExportCounts = BundleCounts | { readonly omitted: number };

/** Exports in a worker thread, beside a station that works there. Null when `signal` stopped it. */
export function runExport(options: ExportRunOptions): Promise<Result<ExportCounts> | null> {
  const { onProgress, signal, ...input } = options;
  const module = new URL('./export-worker.ts', import.meta.url);
  return runTask({ module, input, onProgress, signal });
}
