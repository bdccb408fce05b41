import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { withFaults } from '../store/store-fault.ts';

/** A file that is there whole or not at all: it has another name until it is complete. */
export interface WholeFile {
  write(text: string): void;
  /** Gives it its name. */
  complete(): void;
  /** Takes away what was not completed. */
  close(): void;
}

/** @throws StoreFault when the disk does not take it */
export function wholeFile(target: string): WholeFile {
  const partial = `${target}.partial`;
  const descriptor = withFaults(() => openSync(partial, 'w'));
  let isComplete = false;
  return {
    write: (text) => withFaults(() => writeFileSync(descriptor, text)),
    complete() {
      withFaults(() => fsyncSync(descriptor));
      isComplete = true;
    },
    close() {
      closeSync(descriptor);
      if (isComplete) withFaults(() => renameSync(partial, target));
      else rmSync(partial, { force: true });
    },
  };
}
