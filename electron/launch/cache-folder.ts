import { homedir } from 'node:os';
import { join } from 'node:path';

/** The per-user folder for things that can be made again, such as a prepared Electron build. */
export function cacheFolder(environment: NodeJS.ProcessEnv): string {
  const caches = environment.XDG_CACHE_HOME || environment.LOCALAPPDATA || join(homedir(), '.cache');
  return join(caches, 'bandwright');
}
