import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * Lets the stations that this process starts from now on find their program compiled, as the built one is: a station
 * that is killed leaves no compiled code behind, and each start would spend most of its time on the same sources.
 * What is killed, and when, stays as it is.
 */
export function keepStartsShort(): void {
  const cache = mkdtempSync(join(tmpdir(), 'bandwright-faults-compiled-'));
  process.on('exit', () => rmSync(cache, { recursive: true, force: true }));
  process.env.NODE_COMPILE_CACHE = cache;
  execFileSync(process.execPath, [join(import.meta.dirname, 'compile-station.ts')], { stdio: 'inherit' });
}
