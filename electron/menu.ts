import { Menu, type MenuItemConstructorOptions } from 'electron';

/** What the menu can do to the window. */
export interface MenuActions {
  zoom(change: 1 | -1 | 0): void;
  toggleFullScreen(): void;
  toggleDeveloperTools(): void;
  /** Closes the window in front; with the last one the program ends. */
  close(): void;
}

interface MenuEntry {
  readonly label: string;
  /** Never a bare letter and never Ctrl with a letter: scanners type letters and control characters. */
  readonly key: string;
  readonly where: 'always' | 'not in kiosk' | 'in development';
  run(actions: MenuActions): void;
}

const entries: readonly MenuEntry[] = [
  { label: 'Larger', key: 'CommandOrControl+Plus', where: 'always', run: (actions) => actions.zoom(1) },
  { label: 'Smaller', key: 'CommandOrControl+-', where: 'always', run: (actions) => actions.zoom(-1) },
  { label: 'Actual size', key: 'CommandOrControl+0', where: 'always', run: (actions) => actions.zoom(0) },
  { label: 'Full screen', key: 'F11', where: 'not in kiosk', run: (actions) => actions.toggleFullScreen() },
  {
    label: 'Developer tools',
    key: 'CommandOrControl+Shift+F12',
    where: 'in development',
    run: (actions) => actions.toggleDeveloperTools(),
  },
  { label: 'Close', key: closeKey(), where: 'always', run: (actions) => actions.close() },
];

/** Builds the application menu. On macOS the edit menu carries copy and paste; elsewhere the page has them itself. */
export function buildMenu(mode: { kiosk: boolean; development: boolean }, actions: MenuActions): Menu {
  const items = entries
    .filter(
      (entry) =>
        entry.where === 'always' || (!mode.kiosk && (mode.development || entry.where !== 'in development')),
    )
    .map(
      (entry): MenuItemConstructorOptions => ({
        label: entry.label,
        accelerator: entry.key,
        click: () => entry.run(actions),
      }),
    );
  const template: MenuItemConstructorOptions[] = [{ label: 'Bandwright', submenu: items }];
  if (process.platform === 'darwin') template.push({ role: 'editMenu' });
  return Menu.buildFromTemplate(template);
}

function closeKey(): string {
  return process.platform === 'darwin' ? 'Command+W' : 'Alt+F4';
}
