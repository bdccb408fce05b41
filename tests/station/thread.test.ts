import { spawnSync } from 'node:child_process';
import { expect, it } from 'vitest';

const moduleOf = (path: string) => new URL(`../../electron/station/${path}`, import.meta.url).href;

/** What V8 tells of freed WebAssembly code, made to free at every occasion, while a program starts a thread so. */
function freedBy(start: string): string[] {
  const { status, signal, stdout } = spawnSync(
    process.execPath,
    ['--stress-wasm-code-gc', '--trace-wasm-code-gc', '--eval', start],
    // No kept modules: the types are stripped, which is done with WebAssembly.
    { encoding: 'utf8', env: { ...process.env, NODE_COMPILE_CACHE: '' } },
  );
  expect({ status, signal }).toEqual({ status: 0, signal: null });
  return stdout.split('\n').filter((line) => line.startsWith('[wasm-gc]'));
}

// Threads that free such code at once end the process: nodejs/node, issue 64500.
it('a thread from source frees no WebAssembly code; one that is started without our help does', () => {
  const thread = `new URL('${moduleOf('store/open-store.ts')}')`;
  expect(
    freedBy(`import { startThread } from '${moduleOf('thread.ts')}'; startThread(${thread}, {});`),
  ).toEqual([]);
  expect(
    freedBy(`import { Worker } from 'node:worker_threads'; new Worker(${thread});`).length,
  ).toBeGreaterThan(0);
});
