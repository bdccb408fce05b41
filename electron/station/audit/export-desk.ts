import { randomBytes } from 'node:crypto';
import { mkdirSync, readdirSync, rmSync, statfsSync } from 'node:fs';
import { join } from 'node:path';
import type { ExportWish } from '../../../shared/audit/filter.ts';
import type { ImpactProgress, ImpactWish } from '../../../shared/audit/impact-view.ts';
import type { ExportProgress } from '../../../shared/audit/view.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { CaptureFilter } from '../store/filters.ts';
import { storeFaultOf } from '../store/store-fault.ts';
import { csvStyleOf } from './csv.ts';
import { runExport } from './export-run.ts';
import { runImpact } from './impact-run.ts';

export interface ExportDeskParts {
  readonly dataFolder: string;
  readonly wallTime: () => string;
  /** Tells whoever looks after the station of a mistake of the program. */
  readonly onBug: (error: unknown) => void;
  /** Exports; left out: from the evidence of the data folder, in a worker. */
  readonly runExport?: typeof runExport;
  /** Judges captures again; left out: those of the data folder, in a worker. */
  readonly runImpact?: typeof runImpact;
}

/** A complete export that waits to be fetched. */
export interface ReadyExport {
  readonly exportId: string;
  readonly personId: string;
  readonly format: ExportWish['format'];
  /** A file, or the folder of a bundle. */
  readonly path: string;
  /** As the browser saves it. */
  readonly fileName: string;
}

interface Running {
  readonly exportId: string;
  readonly personId: string;
  readonly stop: AbortController;
  /** Why it was stopped, when not by a person. */
  reason: string | null;
}

/** How a worker is watched and stopped. */
interface WorkRun {
  readonly signal: AbortSignal;
  onProgress(progress: { readonly done: number; readonly total: number }): void;
}

/** The bench must be able to write on: an export stops before it fills the disk. */
const leftFreeBytes = 512 * 1024 * 1024;
/** Complete exports that wait; older ones go. */
const mostKept = 3;

/**
 * Exports that screens ask for, and captures judged again with a file of them, one at a time, in a worker thread. What is complete waits in a folder beside the
 * database until newer ones push it out or the station ends.
 */
export class ExportDesk {
  readonly #parts: ExportDeskParts;
  readonly #folder: string;
  readonly #ready: ReadyExport[] = [];
  #running: Running | undefined;

  constructor(parts: ExportDeskParts) {
    this.#parts = parts;
    this.#folder = join(parts.dataFolder, 'exports');
  }

  /** Starts an export; `tell` hears how far it is. */
  start(
    personId: string,
    { format, language, chainId }: ExportWish,
    filter: CaptureFilter | null,
    tell: (progress: ExportProgress) => void,
  ): Result<{ exportId: string }> {
    const { dataFolder, wallTime } = this.#parts;
    const name = { csv: 'readings.csv', jsonl: 'readings.jsonl', bundle: 'bundle' }[format];
    const common = {
      folder: dataFolder,
      format,
      filter,
      style: csvStyleOf(language),
      at: wallTime(),
      chainId,
    };
    return this.#begin(
      { personId, format, name },
      (target, run) => (this.#parts.runExport ?? runExport)({ ...common, target, ...run }),
      (progress, counts) =>
        tell(counts === null ? progress : { ...progress, omitted: 'omitted' in counts ? counts.omitted : 0 }),
    );
  }

  /** Starts judging the captures of an instrument again; the file holds all of them. */
  startImpact(
    personId: string,
    { language, ...asked }: ImpactWish,
    tell: (progress: ImpactProgress) => void,
  ): Result<{ exportId: string }> {
    const { dataFolder, runImpact: run = runImpact } = this.#parts;
    const common = { folder: dataFolder, style: csvStyleOf(language), since: asked.since };
    return this.#begin(
      { personId, format: 'csv', name: 'impact.csv' },
      (target, watch) => run({ ...asked, ...common, target, ...watch }),
      (progress, report) => tell({ ...progress, omitted: report?.omitted ?? 0, report }),
    );
  }

  /** One at a time. `tell` hears how far it is and, once it is ready, what came of it. */
  #begin<Outcome>(
    { personId, format, name }: Pick<ReadyExport, 'personId' | 'format'> & { readonly name: string },
    work: (target: string, run: WorkRun) => Promise<Result<Outcome> | null>,
    tell: (progress: ExportProgress, outcome: Outcome | null) => void,
  ): Result<{ exportId: string }> {
    if (this.#running !== undefined) {
      return refuse('export_running', '', 'An export is running already; wait for it or stop it.');
    }
    const exportId = randomBytes(16).toString('hex');
    if (this.#ready.length === 0) rmSync(this.#folder, { recursive: true, force: true });
    const folder = join(this.#folder, exportId);
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const stamp = this.#parts.wallTime().slice(0, 19).replaceAll(/[-:]/g, '');
    const running: Running = { exportId, personId, stop: new AbortController(), reason: null };
    this.#running = running;
    let latest: ExportProgress = {
      ...{ exportId, done: 0, total: 0, state: 'running', url: null, omitted: 0, message: null },
    };
    const end = (change: Partial<ExportProgress>, outcome: Outcome | null = null) => {
      if (change.state !== 'ready') rmSync(folder, { recursive: true, force: true });
      if (this.#running === running) this.#running = undefined;
      tell({ ...latest, ...change }, outcome);
    };
    work(join(folder, name), {
      signal: running.stop.signal,
      onProgress: ({ done, total }) => {
        latest = { ...latest, done, total };
        tell(latest, null);
        this.#watchDisk(running);
      },
    }).then(
      (result) => {
        if (result === null) {
          return end(
            running.reason === null ? { state: 'stopped' } : { state: 'failed', message: running.reason },
          );
        }
        if (!result.ok) return end({ state: 'failed', message: result.error.message });
        const fileName = format === 'bundle' ? `bandwright-${stamp}.tar` : `bandwright-${stamp}-${name}`;
        this.#keep({ exportId, personId, format, path: join(folder, name), fileName });
        const url = `/exports/${exportId}/${fileName}`;
        end({ state: 'ready', done: latest.total, url }, result.value);
      },
      (error: unknown) => {
        const fault = storeFaultOf(error);
        if (fault === undefined) this.#parts.onBug(error);
        end({ state: 'failed', message: fault?.message ?? 'The station made a mistake; it is in the log.' });
      },
    );
    return ok({ exportId });
  }

  /** Stops the export if it is theirs. */
  stop(personId: string, exportId: string): Result<null> {
    const running = this.#running;
    if (running === undefined || running.exportId !== exportId || running.personId !== personId) {
      return refuse('no_such_export', 'exportId', 'This export is not running; look at the list again.');
    }
    running.stop.abort();
    return ok(null);
  }

  /** A complete export of that person. */
  find(personId: string, exportId: string): ReadyExport | undefined {
    return this.#ready.find((one) => one.exportId === exportId && one.personId === personId);
  }

  /** Stops what runs and takes everything away. */
  close(): void {
    this.#running?.stop.abort();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  #watchDisk(running: Running): void {
    const { bavail, bsize } = statfsSync(this.#folder);
    if (bavail * bsize > leftFreeBytes || running.reason !== null) return;
    running.reason = 'The disk is nearly full; the export was stopped so that the bench can go on.';
    running.stop.abort();
  }

  #keep(ready: ReadyExport): void {
    this.#ready.push(ready);
    if (this.#ready.length > mostKept) this.#ready.shift();
    const kept = new Set(this.#ready.map(({ exportId }) => exportId));
    for (const name of readdirSync(this.#folder)) {
      if (!kept.has(name)) rmSync(join(this.#folder, name), { recursive: true, force: true });
    }
  }
}
