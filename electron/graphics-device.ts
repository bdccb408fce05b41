import { existsSync } from 'node:fs';

/**
 * False on a Linux machine without any graphics device (a virtual machine, a test display). There Chromium's
 * graphics process fails at start and tries again, and about one window in a hundred then never shows its page
 * (4 of 300 starts on a busy machine; 0 of 300 when drawing in software from the start).
 */
export function hasGraphicsDevice(): boolean {
  return process.platform !== 'linux' || existsSync('/dev/dri') || existsSync('/dev/dxg');
}
