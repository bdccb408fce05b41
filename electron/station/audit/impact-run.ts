import type { ImpactReportView } from '../../../shared/audit/impact-view.ts';
import type { Result } from '../../../shared/result.ts';
import type { CsvStyle } from './csv.ts';
import { runTask } from './task.ts';

export interface ImpactRunOptions {
  readonly folder: string;
  /** The table of all captures judged again is written there. */
  readonly target: string;
  readonly style: CsvStyle;
  readonly instrumentId: string;
  readonly certificateHash: string;
  readonly since: string | undefined;
  /** At the desk of a site: whose register has the calibration. */
  readonly stationId?: string | undefined;
  readonly onProgress?: (progress: { readonly done: number; readonly total: number }) => void;
  readonly signal?: AbortSignal;
}

/**
 * Judges the captures of an instrument again with what a calibration of its register found, in a worker thread,
 * beside a station that works there. Null when `signal` stopped it.
 */
export function runImpact(options: ImpactRunOptions): Promise<Result<ImpactReportView> | null> {
  const { onProgress, signal, ...input } = options;
  const module = new URL('./impact-worker.ts', import.meta.url);
  return runTask({ module, input, onProgress, signal });
}
