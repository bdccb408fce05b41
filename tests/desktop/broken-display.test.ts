import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { makeDataFolder, projectFolder, removeDataFolder, standInStation } from './bench-window.ts';

test('npm start with a display that does not answer says so and serves the bench instead', async () => {
  const data = makeDataFolder();
  const bench = spawn(
    join(projectFolder, 'node_modules', '.bin', 'node'),
    [join('electron', 'launch', 'start.ts'), '--data', data],
    { cwd: projectFolder, env: { ...process.env, DISPLAY: ':987654', BANDWRIGHT_STATION: standInStation } },
  );
  let errors = '';
  bench.stderr.setEncoding('utf8').on('data', (text: string) => {
    errors += text;
  });
  const [output] = await once(bench.stdout, 'data');
  expect(String(output)).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?key=/);
  expect(errors).toContain('before it could show a window');
  bench.kill('SIGINT');
  expect(await once(bench, 'exit')).toEqual([0, null]);
  removeDataFolder(data);
});
