import { defineConfig } from 'vitest/config';
import { maximumWorkers, ownDisplays } from './tests/desktop/displays.ts';

/** Where each worker has a display of its own, windows need not wait for each other. */
const hasOwnDisplays = ownDisplays(process.env).length >= maximumWorkers;

export default defineConfig({
  test: {
    // Never worker threads: the serial port's binding aborts the whole process in them.
    pool: 'forks',
    maxWorkers: maximumWorkers,
    // A second, which is usual, is short on a machine that is busy; nothing here asks how fast something is.
    expect: { poll: { timeout: 15_000 } },
    projects: [
      {
        extends: true,
        test: {
          name: 'ordinary',
          include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
          exclude: ['tests/desktop/**'],
          testTimeout: 20_000,
          hookTimeout: 20_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        extends: true,
        test: {
          name: 'desktop',
          include: ['tests/desktop/**/*.test.ts'],
          globalSetup: 'tests/desktop/prepare.ts',
          setupFiles: 'tests/desktop/own-display.ts',
          // Otherwise one window at a time: they share the screen and the focus.
          ...(hasOwnDisplays ? {} : { fileParallelism: false }),
          testTimeout: 60_000,
          hookTimeout: 60_000,
          sequence: { groupOrder: hasOwnDisplays ? 0 : 1 },
        },
      },
    ],
  },
});
