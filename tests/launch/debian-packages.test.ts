import { expect, test } from 'vitest';
import { ensurePackages, missingPackages, testPackages } from '../../electron/launch/debian-packages.ts';

test('an installed package is found under any of its names', async () => {
  expect(await missingPackages([['no-such-package-of-bandwright', 'dpkg']])).toEqual([]);
});

test('a package that is not there is missing', async () => {
  expect(await missingPackages([['dpkg'], ['no-such-package-of-bandwright']])).toEqual([
    ['no-such-package-of-bandwright'],
  ]);
});

test('where nothing may be installed, the missing packages are named with what to do', async () => {
  const said: string[] = [];
  const ensured = await ensurePackages([['no-such-package-of-bandwright', 'its-other-name']], false, (line) =>
    said.push(line),
  );
  expect(ensured).toMatchObject({ ok: false, error: { code: 'packages_missing' } });
  expect(ensured.ok ? '' : ensured.error.message).toMatch(
    /no-such-package-of-bandwright or its-other-name; install them as root/,
  );
  expect(said).toEqual([]);
});

test('all that the tests need is there when they run', async () => {
  expect(await missingPackages(testPackages)).toEqual([]);
});
