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
  const workshop = workshopDataFolder(environment);
  if (environment.BANDWRIGHT_DATA || existsSync(workshop)) return workshop;
  return demoDataFolder(environment);
}

/** The folder of the demo workshop when none is named. */
export function demoDataFolder(environment: NodeJS.ProcessEnv): string {
  return join(homeOf(environment), 'demo');
}

/** The folder that a real workshop is set up in when none is named: never the demo's. */
export function workshopDataFolder(environment: NodeJS.ProcessEnv): string {
  return environment.BANDWRIGHT_DATA || join(homeOf(environment), 'workshop');
}

function homeOf(environment: NodeJS.ProcessEnv): string {
  const home = environment.XDG_DATA_HOME ?? environment.LOCALAPPDATA ?? join(homedir(), '.local', 'share');
  return join(home, 'bandwright');
}
