import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { z } from 'zod';
import type { RememberedPeaks } from '../../../drivers/decode/repeats.ts';

const rememberedSchema = z.strictObject({
  sequence: z.number().nullable(),
  last: z.string().nullable(),
  stamp: z.string().nullable(),
  withStamp: z.array(z.string()).max(10_000),
});
const fileSchema = z.record(z.string(), rememberedSchema);

/**
 * Peaks that each wrench has given, kept in a file beside the database: a peak that a wrench sends again after the
 * station was started again must not look fresh.
 */
export class PeakMemory {
  readonly #file: string;
  readonly #peaks: Map<string, RememberedPeaks>;

  constructor(file: string) {
    this.#file = file;
    this.#peaks = new Map(Object.entries(readPeaks(file)));
  }

  of(instrumentId: string): RememberedPeaks | undefined {
    return this.#peaks.get(instrumentId);
  }

  /** Keeps what a wrench's decoder remembers; written only when it is new. */
  keep(instrumentId: string, remembered: RememberedPeaks): void {
    if (remembered.sequence === null && remembered.last === null) return;
    if (JSON.stringify(remembered) === JSON.stringify(this.#peaks.get(instrumentId))) return;
    this.#peaks.set(instrumentId, remembered);
    const draft = `${this.#file}.new`;
    writeFileSync(draft, JSON.stringify(Object.fromEntries(this.#peaks)), { mode: 0o600 });
    renameSync(draft, this.#file);
  }
}

function readPeaks(file: string): Record<string, RememberedPeaks> {
  try {
    return fileSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
  } catch {
    return {};
  }
}
