import { existsSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';

/**
 * The folder that holds the database, keys and log when none is named: the workshop's own once it is set up,
 * until then the demo workshop's, so that nothing simulated ever lies in a real workshop's database.
 *
 * @param environment `XDG_DATA_HOME`, `LOCALAPPDATA` and `BANDWRIGHT_DATA` are honoured.
 */
export function defaultDataFolder(environment: NodeJS.ProcessEnv): string {
  if (environment.BANDWRIGHT_DATA) return environment.BANDWRIGHT_DATA;
  const home = environment.XDG_DATA_HOME ?? environment.LOCALAPPDATA ?? join(homedir(), '.local', 'share');
  const workshop = join(home, 'bandwright', 'workshop');
  return existsSync(workshop) ? workshop : join(home, 'bandwright', 'demo');
}
