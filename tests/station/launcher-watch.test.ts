import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { afterEach, expect, test } from 'vitest';

const watch = new URL('../../electron/station/launcher-watch.ts', import.meta.url).href;
const program = `
  import { whenLauncherGone } from '${watch}';
  whenLauncherGone(() => { console.log('ends'); process.exit(0); });
  console.log(process.pid);
  setInterval(() => {}, 1000);
`;
let left: number | undefined;

/** The program behind a shell, as npm runs a script. */
async function behindShell(environment: NodeJS.ProcessEnv): Promise<ChildProcess & { said: () => string }> {
  const { npm_lifecycle_event: _, ...outside } = process.env;
  const shell = spawn('sh', ['-c', '"$0" --input-type=module --eval "$1"; true', process.execPath, program], {
    env: { ...outside, ...environment },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let text = '';
  shell.stdout.setEncoding('utf8').on('data', (more: string) => {
    text += more;
  });
  await once(shell.stdout, 'data');
  left = Number.parseInt(text, 10);
  return Object.assign(shell, { said: () => text });
}

function isAlive(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

afterEach(() => {
  if (left !== undefined && isAlive(left)) process.kill(left, 'SIGKILL');
});

test('a station that npm started ends when npm and its shell are gone', async () => {
  const shell = await behindShell({ npm_lifecycle_event: 'bandwright' });
  const closed = once(shell, 'close');
  shell.kill('SIGTERM');
  await closed;
  expect(shell.said()).toMatch(/\d+\nends\n/);
});

test('a station started by hand outlives its shell', async () => {
  const shell = await behindShell({});
  const gone = once(shell, 'exit');
  shell.kill('SIGTERM');
  await gone;
  await new Promise((resolve) => setTimeout(resolve, 1200));
  expect(isAlive(left ?? 0)).toBe(true);
  expect(shell.said()).not.toContain('ends');
});
