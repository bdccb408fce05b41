import { existsSync } from 'node:fs';
import { join } from 'node:path';

/** Where a Node for the station may be found. */
export interface StationNodeSearch {
  readonly environment: NodeJS.ProcessEnv;
  readonly applicationFolder: string;
  /** The resources folder of a packaged program, undefined in development. */
  readonly resourcesFolder: string | undefined;
}

/** The Node program that runs the station: packaged with it, named by BANDWRIGHT_NODE, npm's, or the path's. */
export function findStationNode(search: StationNodeSearch): string {
  const name = process.platform === 'win32' ? 'node.exe' : 'node';
  if (search.resourcesFolder !== undefined) return join(search.resourcesFolder, name);
  if (search.environment.BANDWRIGHT_NODE) return search.environment.BANDWRIGHT_NODE;
  const fromNpm = join(search.applicationFolder, 'node_modules', '.bin', name);
  return existsSync(fromNpm) ? fromNpm : name;
}
