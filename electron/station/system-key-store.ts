import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import { askKeyStoreHere, type KeyStoreAnswer, type KeyStoreRequest } from './key-store-entry.ts';

const answerSchema: z.ZodType<KeyStoreAnswer> = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('secret'), secret: z.string() }),
  z.object({ kind: z.literal('nothing') }),
  z.object({ kind: z.literal('shut'), reason: z.string() }),
]);

/** Long enough to type a password, and less than the window gives a station to start (`station-process.ts`). */
const patienceMilliseconds = 45_000;

/** How this system calls its key store. */
export function keyStoreName(platform: NodeJS.Platform): string {
  if (platform === 'darwin') return 'Keychain';
  return platform === 'win32' ? 'Credential Manager' : 'Secret Service';
}

/**
 * Asks the key store of the account that this process runs in. A store that is locked may show a dialog and answers
 * when it is closed, maybe never: a process of its own asks, which can be ended after a while. Electron's own Node
 * can start no other, there the window ends a station that does not start (`station-process.ts`).
 */
export function askKeyStore(
  request: KeyStoreRequest,
  waitMilliseconds: number = patienceMilliseconds,
): KeyStoreAnswer {
  if (process.versions.electron !== undefined) return askKeyStoreHere(request);
  const program = fileURLToPath(new URL('./key-store-process.ts', import.meta.url));
  const asked = spawnSync(process.execPath, [program], {
    input: JSON.stringify(request),
    encoding: 'utf8',
    timeout: waitMilliseconds,
    killSignal: 'SIGKILL',
    windowsHide: true,
  });
  if (asked.signal !== null) {
    return { kind: 'shut', reason: `no answer within ${waitMilliseconds / 1000} s` };
  }
  try {
    return answerSchema.parse(JSON.parse(asked.stdout));
  } catch {
    const lastWords = asked.error?.message ?? asked.stderr.trim().split('\n').at(-1);
    return { kind: 'shut', reason: lastWords || `exit code ${asked.status}` };
  }
}
