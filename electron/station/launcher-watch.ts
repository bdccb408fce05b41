const lookEveryMilliseconds = 500;

/**
 * Calls `end` once when whatever ran this npm script is gone. npm passes SIGTERM to the shell between, and the shell
 * dies of it without passing it on: the program would go on alone and hold its data folder. Does nothing outside npm,
 * where a program may outlive its starter.
 */
export function whenLauncherGone(end: () => void): void {
  if (process.env.npm_lifecycle_event === undefined) return;
  const launcher = process.ppid;
  const timer = setInterval(() => {
    if (process.ppid === launcher) return;
    clearInterval(timer);
    end();
  }, lookEveryMilliseconds);
  timer.unref();
}
