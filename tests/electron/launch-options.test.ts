import { resolve } from 'node:path';
import { expect, test } from 'vitest';
import { readLaunchOptions, writeLaunchOptions } from '../../electron/launch-options.ts';

test('the data folder is made absolute, in both spellings', () => {
  expect(readLaunchOptions(['--data', 'bench']).dataFolder).toBe(resolve('bench'));
  expect(readLaunchOptions(['--data=/tmp/bench']).dataFolder).toBe('/tmp/bench');
  expect(readLaunchOptions([]).dataFolder).toBeUndefined();
});

test('switches of Chromium and of test tools pass', () => {
  const words = [
    '-r',
    'loader.js',
    '--inspect=0',
    '--remote-debugging-port=0',
    '--no-sandbox',
    '.',
    '--kiosk',
  ];
  expect(readLaunchOptions(words)).toEqual({
    dataFolder: undefined,
    kiosk: true,
    fullScreen: false,
    emptyFolder: 'demo',
    site: undefined,
  });
});

test('what one process was asked for reaches the next', () => {
  const site = { url: 'postgresql://anna@site/site', passwordFile: '/tmp/a file', authorityFile: undefined };
  for (const emptyFolder of ['demo', 'ask'] as const) {
    for (const asked of [undefined, site]) {
      const options = { dataFolder: '/tmp/a bench', kiosk: true, fullScreen: true, emptyFolder, site: asked };
      expect(readLaunchOptions(writeLaunchOptions(options))).toEqual(options);
    }
  }
});

test('the files of a site are made absolute', () => {
  const words = ['--site', 'postgresql://anna@site/site', '--password-file', 'anna.password'];
  expect(readLaunchOptions(words).site).toMatchObject({ passwordFile: resolve('anna.password') });
});

test('a person is asked what an empty folder becomes where that is usual or wished, unless the demo is', () => {
  expect(readLaunchOptions([]).emptyFolder).toBe('demo');
  expect(readLaunchOptions(['--first-run']).emptyFolder).toBe('ask');
  expect(readLaunchOptions([], true).emptyFolder).toBe('ask');
  expect(readLaunchOptions(['--demo'], true).emptyFolder).toBe('demo');
});
