/** True where a window can be opened: always on macOS and Windows, on Linux with an X or Wayland display. */
export function hasDisplay(platform: NodeJS.Platform, environment: NodeJS.ProcessEnv): boolean {
  if (platform === 'darwin' || platform === 'win32') return true;
  return Boolean(environment.DISPLAY || environment.WAYLAND_DISPLAY);
}

/** The switches that Electron needs on this system, each with the reason to say; nothing where none is needed. */
export function systemSwitches(
  platform: NodeJS.Platform,
  environment: NodeJS.ProcessEnv,
  isRoot: boolean,
): { readonly word: string; readonly reason: string }[] {
  const switches: { word: string; reason: string }[] = [];
  if (platform !== 'linux') return switches;
  if (isRoot) {
    switches.push({
      word: '--no-sandbox',
      reason:
        "root: Chromium's sandbox does not work for root and is off; start as an ordinary user to have it",
    });
  }
  if (!environment.DISPLAY && environment.WAYLAND_DISPLAY) {
    switches.push({ word: '--ozone-platform=wayland', reason: 'only a Wayland display is there' });
  }
  return switches;
}
