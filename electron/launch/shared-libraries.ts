import { runProgram } from './run-program.ts';

/** The shared libraries that a program needs and this Linux system lacks; empty on other systems. */
export async function missingLibraries(executable: string): Promise<string[]> {
  if (process.platform !== 'linux') return [];
  const listed = await runProgram('ldd', [executable]);
  return listed.output
    .split('\n')
    .filter((line) => line.includes('=> not found'))
    .map((line) => line.trim().split(' ')[0] ?? '');
}
