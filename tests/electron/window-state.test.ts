import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import {
  firstWindowState,
  fittingSize,
  nextZoomFactor,
  readWindowState,
  visibleBounds,
  writeWindowState,
} from '../../electron/window-state.ts';

const folder = mkdtempSync(join(tmpdir(), 'bandwright-window-'));
const file = join(folder, 'window.json');
afterAll(() => rmSync(folder, { recursive: true }));

test('what was written is read again, and no half file is left beside it', () => {
  const state = {
    bounds: { x: -1200, y: 20, width: 1000, height: 700 },
    isMaximized: true,
    isFullScreen: false,
    zoomFactor: 1.25,
    stationPort: 4711,
  };
  writeWindowState(file, state);
  expect(readWindowState(file)).toEqual(state);
  expect(readdirSync(folder)).toEqual(['window.json']);
});

test.each([
  '',
  'null',
  '{"isMaximized":false',
  '{"isMaximized":false,"isFullScreen":false,"zoomFactor":900}',
  '{"isMaximized":false,"isFullScreen":false,"zoomFactor":1,"bounds":{"x":0,"y":0,"width":1,"height":1}}',
  '{"isMaximized":false,"isFullScreen":false,"zoomFactor":1,"stationPort":"80; rm"}',
])('a damaged file gives the first state: %s', (text) => {
  writeFileSync(file, text);
  expect(readWindowState(file)).toEqual(firstWindowState);
});

test('a missing file gives the first state', () => {
  expect(readWindowState(join(folder, 'missing.json'))).toEqual(firstWindowState);
});

const screen = { x: 0, y: 0, width: 1920, height: 1080 };

test('a window on a screen that was taken away is not opened there', () => {
  const onSecond = { x: 2000, y: 100, width: 1000, height: 700 };
  expect(visibleBounds(onSecond, [screen])).toBeUndefined();
  expect(visibleBounds(onSecond, [screen, { ...screen, x: 1920 }])).toEqual(onSecond);
});

test('a window of which only a sliver would show is not opened there', () => {
  expect(visibleBounds({ x: 1850, y: 100, width: 1000, height: 700 }, [screen])).toBeUndefined();
  expect(visibleBounds({ x: 1800, y: 100, width: 1000, height: 700 }, [screen])).toBeDefined();
});

test('a window is no larger than the screens, so that its foot with the next action is in sight', () => {
  const laptop = { x: 0, y: 0, width: 1366, height: 728 };
  expect(fittingSize({ width: 1440, height: 900 }, laptop)).toEqual({ width: 1366, height: 728 });
  expect(fittingSize({ width: 1440, height: 900 }, screen)).toEqual({ width: 1440, height: 900 });
  expect(visibleBounds({ x: 0, y: 20, width: 1900, height: 1000 }, [laptop])).toEqual({
    x: 0,
    y: 20,
    width: 1366,
    height: 728,
  });
  const wide = { x: 100, y: 0, width: 3600, height: 1000 };
  expect(visibleBounds(wide, [screen, { ...screen, x: 1920 }])).toEqual(wide);
});

test('the zoom goes through its steps to 200 % and further, and stops at both ends', () => {
  const steps: number[] = [1];
  for (let count = 0; count < 10; count += 1) steps.push(nextZoomFactor(steps.at(-1) ?? 1, 1));
  expect(steps).toContain(2);
  expect(steps.at(-1)).toBe(3);
  expect(nextZoomFactor(0.5, -1)).toBe(0.5);
  expect(nextZoomFactor(nextZoomFactor(1, 1), -1)).toBe(1);
});
