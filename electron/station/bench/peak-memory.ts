import { z } from 'zod';
import type { RememberedPeaks } from '../../../drivers/decode/repeats.ts';
import { readKept, writeKept } from '../kept-file.ts';

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
    this.#peaks = new Map(Object.entries(readKept(file, fileSchema) ?? {}));
  }

  of(instrumentId: string): RememberedPeaks | undefined {
    return this.#peaks.get(instrumentId);
  }

  /** Keeps what a wrench's decoder remembers; written only when it is new. */
  keep(instrumentId: string, remembered: RememberedPeaks): void {
    if (remembered.sequence === null && remembered.last === null) return;
    if (JSON.stringify(remembered) === JSON.stringify(this.#peaks.get(instrumentId))) return;
    this.#peaks.set(instrumentId, remembered);
    writeKept(this.#file, Object.fromEntries(this.#peaks));
  }
}
