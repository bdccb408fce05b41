import { whenLauncherGone } from '../launcher-watch.ts';

/** Resolves when a person, the system or whatever started this program ends it. */
export function untilEnded(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve());
    process.once('disconnect', () => resolve());
    whenLauncherGone(resolve);
  });
}
