import { spawn } from 'node:child_process';

/** How a program ended and what it said. */
export interface ProgramEnd {
  /** Exit code, or undefined when it could not be started or was ended by a signal. */
  readonly code: number | undefined;
  readonly output: string;
  readonly errors: string;
}

/** Runs a program to its end, collecting what it prints. Never rejects: a missing program has no code. */
export function runProgram(
  program: string,
  args: readonly string[],
  options: { readonly cwd?: string; readonly env?: NodeJS.ProcessEnv } = {},
): Promise<ProgramEnd> {
  return new Promise((resolve) => {
    const child = spawn(program, args, { ...options, stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    let errors = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      output += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      errors += text;
    });
    child.on('error', (error) => resolve({ code: undefined, output, errors: `${errors}${error.message}` }));
    child.on('close', (code) => resolve({ code: code ?? undefined, output, errors }));
  });
}
