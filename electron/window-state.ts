import { z } from 'zod';
import { readKept, writeKept } from './station/kept-file.ts';

const bounds = z.object({
  x: z.int().min(-100_000).max(100_000),
  y: z.int().min(-100_000).max(100_000),
  width: z.int().min(100).max(100_000),
  height: z.int().min(100).max(100_000),
});
const windowState = z.object({
  bounds: bounds.optional(),
  isMaximized: z.boolean(),
  isFullScreen: z.boolean(),
  zoomFactor: z.number().min(0.5).max(3),
  stationPort: z.int().min(1).max(65_535).optional(),
});

export type Bounds = z.infer<typeof bounds>;
export type Size = Pick<Bounds, 'width' | 'height'>;
/**
 * Place, size and zoom of the window, in device-independent pixels, as it was left; and the station's port, because
 * a page finds the settings that it keeps for this screen only under the same address.
 */
export type WindowState = z.infer<typeof windowState>;

export const firstWindowState: WindowState = { isMaximized: false, isFullScreen: false, zoomFactor: 1 };

/** Reads the remembered state; a missing, damaged or foreign file gives the first one. */
export function readWindowState(file: string): WindowState {
  return readKept(file, windowState) ?? firstWindowState;
}

/**
 * Writes the state whole: a stop in between leaves the former file. Where it cannot be written (a full disk, a folder
 * that is gone) the former place is remembered, and nothing else is lost: the window must still close.
 */
export function writeWindowState(file: string, state: WindowState): void {
  try {
    writeKept(file, state);
  } catch (error) {
    process.stderr.write(
      `The place of the window was not written: ${error instanceof Error ? error.message : error}\n`,
    );
  }
}

/**
 * The remembered bounds if enough of them can still be seen, so that a window is not opened on a screen that was
 * taken away; no larger than all screens together, where the foot with the next action would be out of sight.
 *
 * @param screens the work areas of the screens there are now.
 */
export function visibleBounds(
  remembered: Bounds | undefined,
  screens: readonly Bounds[],
): Bounds | undefined {
  if (remembered === undefined) return undefined;
  const isVisible = screens.some((screen) => {
    const width = Math.min(remembered.x + remembered.width, screen.x + screen.width);
    const height = Math.min(remembered.y + remembered.height, screen.y + screen.height);
    return (
      width - Math.max(remembered.x, screen.x) >= 100 && height - Math.max(remembered.y, screen.y) >= 100
    );
  });
  if (!isVisible) return undefined;
  const span = (start: 'x' | 'y', length: 'width' | 'height') =>
    Math.max(...screens.map((screen) => screen[start] + screen[length])) -
    Math.min(...screens.map((screen) => screen[start]));
  return {
    ...remembered,
    ...fittingSize(remembered, { width: span('x', 'width'), height: span('y', 'height') }),
  };
}

/** A size, or as much of it as there is room for. */
export function fittingSize(wished: Size, room: Size): Size {
  return { width: Math.min(wished.width, room.width), height: Math.min(wished.height, room.height) };
}

/** The steps of the zoom, up to the 200 % that WCAG 2.2 (1.4.4) asks for and beyond for large screens. */
const zoomFactors = [0.5, 0.67, 0.8, 0.9, 1, 1.1, 1.25, 1.5, 1.75, 2, 2.5, 3] as const;

/** The next larger (1) or smaller (-1) zoom factor; the last one stays. */
export function nextZoomFactor(current: number, direction: 1 | -1): number {
  const further =
    direction === 1
      ? zoomFactors.find((factor) => factor > current + 0.01)
      : zoomFactors.findLast((factor) => factor < current - 0.01);
  return further ?? current;
}
