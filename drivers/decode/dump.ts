import { compileStart } from '../profile/pattern.ts';
import type { InstrumentProfile } from '../profile.ts';
import { readCount } from './reading.ts';

export interface DumpWatch {
  /** The reason for a line that begins, counts or ends a dump; null for any other line. */
  takeLine(text: string): 'not_a_reading' | 'dump_count_mismatch' | null;
  /** A line of the form of a reading has come, new or not. */
  countReading(): void;
  reset(): void;
}

/** Watches a memory dump: at its end line the number of readings must be the one announced. */
export function createDumpWatch(dump: NonNullable<InstrumentProfile['dump']>): DumpWatch {
  const begin = compileStart(dump.begin);
  const count = compileStart(dump.count);
  const end = compileStart(dump.end);
  let current: { readings: number; announced: number | null } | null = null;
  return {
    takeLine(text) {
      if (begin.test(text)) {
        current = { readings: 0, announced: null };
        return 'not_a_reading';
      }
      const announced = count.exec(text);
      if (announced !== null) {
        if (current !== null) current.announced = readCount(announced.groups?.count);
        return 'not_a_reading';
      }
      if (!end.test(text)) return null;
      const wrong = current !== null && current.announced !== null && current.announced !== current.readings;
      current = null;
      return wrong ? 'dump_count_mismatch' : 'not_a_reading';
    },
    countReading() {
      if (current !== null) current.readings += 1;
    },
    reset() {
      current = null;
    },
  };
}
