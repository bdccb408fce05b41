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
  expect(readLaunchOptions(words)).toEqual({ dataFolder: undefined, kiosk: true, fullScreen: false });
});

test('what one process was asked for reaches the next', () => {
  const options = { dataFolder: '/tmp/a bench', kiosk: true, fullScreen: true };
  expect(readLaunchOptions(writeLaunchOptions(options))).toEqual(options);
});
