import {
  type BrowserWindow,
  type BrowserWindowConstructorOptions,
  Menu,
  screen,
  type WebContents,
} from 'electron';
import { securePreferences } from './window-security.ts';
import { fittingSize } from './window-state.ts';

const wishedSize = { width: 1000, height: 1100 };

/** How the window of a printed document looks: Chromium's PDF viewer, which prints, and nothing around it. */
export function documentWindow(development: boolean): BrowserWindowConstructorOptions {
  return {
    ...wishedSize,
    title: 'Bandwright',
    autoHideMenuBar: true,
    webPreferences: { ...securePreferences(development), plugins: true },
  };
}

/** Documents that a page opens fit on the screen, and Escape goes back from them as it does from everything. */
export function keepDocumentsInSight(contents: WebContents): void {
  contents.on('did-create-window', (window) => {
    const { width, height } = fittingSize(wishedSize, screen.getDisplayMatching(window.getBounds()).workArea);
    window.setSize(width, height);
    closeByEscape(window);
  });
}

/** By the menu of that window: the PDF viewer takes keys for itself before any page sees them. */
function closeByEscape(window: BrowserWindow): void {
  const close = (accelerator: string) => ({ label: 'Close', accelerator, click: () => window.close() });
  const menu = Menu.buildFromTemplate([
    { label: 'Bandwright', submenu: [close('Escape'), { ...close('Alt+F4'), visible: false }] },
  ]);
  // On macOS menus belong to the program, and Command+W closes there.
  if (process.platform !== 'darwin') window.setMenu(menu);
}
