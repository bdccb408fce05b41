import { expect, test } from 'vitest';
import { hasDisplay, systemSwitches } from '../../electron/launch/display.ts';

test('on Linux a window needs an X or a Wayland display', () => {
  expect(hasDisplay('linux', {})).toBe(false);
  expect(hasDisplay('linux', { DISPLAY: '' })).toBe(false);
  expect(hasDisplay('linux', { DISPLAY: ':0' })).toBe(true);
  expect(hasDisplay('linux', { WAYLAND_DISPLAY: 'wayland-0' })).toBe(true);
});

test('on macOS and Windows there is always a display', () => {
  expect(hasDisplay('darwin', {})).toBe(true);
  expect(hasDisplay('win32', {})).toBe(true);
});

test('only root on Linux goes without the sandbox', () => {
  const words = (platform: NodeJS.Platform, isRoot: boolean) =>
    systemSwitches(platform, { DISPLAY: ':0' }, isRoot).map(({ word }) => word);
  expect(words('linux', true)).toEqual(['--no-sandbox']);
  expect(words('linux', false)).toEqual([]);
  expect(words('darwin', true)).toEqual([]);
});

test('where there is only Wayland, Electron is told so', () => {
  const words = systemSwitches('linux', { WAYLAND_DISPLAY: 'wayland-0' }, false).map(({ word }) => word);
  expect(words).toEqual(['--ozone-platform=wayland']);
});
