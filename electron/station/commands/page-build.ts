import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { BadInput } from './command.ts';

/**
 * Makes the screen from its sources, in a fresh checkout. By a program of its own: the station knows nothing of how
 * it is built. An installed station brings its screen along and never comes here.
 *
 * @throws BadInput when it cannot be made.
 */
export async function buildPage(say: (line: string) => void): Promise<void> {
  say('Building the screen, once …');
  const builder = join(import.meta.dirname, '..', '..', 'launch', 'build.ts');
  const code = await new Promise<number | null>((resolve, reject) => {
    const child = spawn(process.execPath, [builder, 'renderer'], { stdio: ['ignore', 'ignore', 'inherit'] });
    child.once('error', reject);
    child.once('exit', resolve);
  });
  if (code !== 0) throw new BadInput('serve: the screen could not be built; see npm run build');
}
