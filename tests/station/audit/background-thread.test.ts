import { readdirSync, readFileSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import { expect, it } from 'vitest';

/** How far each thread of this process steps behind: field 19 of proc_pid_stat(5). */
function nicenesses(): Map<string, number> {
  const threads = readdirSync('/proc/self/task').map((thread): [string, number] => {
    const fields = readFileSync(`/proc/self/task/${thread}/stat`, 'utf8').split(') ').at(-1)!.split(' ');
    return [thread, Number(fields[16])];
  });
  return new Map(threads);
}

it.runIf(process.platform === 'linux')('a thread steps behind the others, and only itself', async () => {
  const module = new URL('../../../electron/station/audit/background-thread.ts', import.meta.url);
  const before = nicenesses();
  const worker = new Worker(
    `import(${JSON.stringify(module.href)}).then(({ stepBehind }) => {
       stepBehind(${Math.min(19, before.get(String(process.pid))! + 7)});
       require('node:worker_threads').parentPort.postMessage('done');
       setInterval(() => undefined, 1000);
     })`,
    { eval: true },
  );
  await new Promise((done) => worker.once('message', done));
  const after = nicenesses();
  await worker.terminate();
  for (const [thread, niceness] of before) {
    if (after.has(thread)) expect([thread, after.get(thread)]).toEqual([thread, niceness]);
  }
  const own = before.get(String(process.pid))!;
  const behind = [...after.values()].filter((niceness) => niceness === Math.min(19, own + 7));
  expect(behind.length).toBeGreaterThanOrEqual(1);
});
