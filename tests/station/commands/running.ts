import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const commandLine = fileURLToPath(new URL('../../../electron/station/command-line.ts', import.meta.url));

export interface Finished {
  readonly code: number | null;
  readonly out: string;
  readonly error: string;
}

/** Runs the real command line in its own process with text on standard input. */
export function bandwright(words: readonly string[], standardInput = ''): Promise<Finished> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [commandLine, ...words], { stdio: 'pipe' });
    let out = '';
    let error = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      out += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      error += text;
    });
    child.on('error', reject);
    child.on('close', (code) => resolve({ code, out, error }));
    // A command that refuses its words never reads its input.
    child.stdin.on('error', () => undefined);
    child.stdin.end(standardInput);
  });
}
