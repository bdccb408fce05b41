import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';

/** Displays without a screen, one for each worker, so that windows under test never share focus or screen. */
export interface VirtualDisplays {
  /** As `DISPLAY` names them: `:99`. */
  readonly names: readonly string[];
  end(): Promise<void>;
}

/** Starts so many X servers; each finds a free number by itself. Rejects where there is no Xvfb. */
export async function startVirtualDisplays(count: number): Promise<VirtualDisplays> {
  const servers = Array.from({ length: count }, () =>
    spawn('Xvfb', ['-displayfd', '3', '-screen', '0', '1920x1080x24', '-nolisten', 'tcp'], {
      stdio: ['ignore', 'ignore', 'ignore', 'pipe'],
    }),
  );
  // Whoever is told to end takes them along.
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.once(signal, () => {
      for (const server of servers) server.kill();
      process.kill(process.pid, signal);
    });
  }
  const end = async () => {
    await Promise.all(servers.map(ended));
  };
  try {
    return { names: await Promise.all(servers.map(nameOf)), end };
  } catch (error) {
    await end();
    throw error;
  }
}

function nameOf(server: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.once('exit', (code) => reject(new Error(`Xvfb ended with code ${code}`)));
    createInterface({ input: server.stdio[3] as Readable }).once('line', (number) => resolve(`:${number}`));
  });
}

function ended(server: ChildProcess): Promise<void> {
  if (server.pid === undefined || server.exitCode !== null || server.signalCode !== null)
    return Promise.resolve();
  server.kill('SIGTERM');
  return new Promise((resolve) => server.once('exit', () => resolve()));
}
