import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { app, BrowserWindow, Menu, nativeTheme, screen } from 'electron';
import { keepDocumentsInSight } from './document-window.ts';
import type { LaunchOptions } from './launch-options.ts';
import { buildMenu } from './menu.ts';
import { type Notice, noticeAddress, noticeLanguage } from './notice.ts';
import { securePreferences } from './window-security.ts';
import {
  fittingSize,
  nextZoomFactor,
  readWindowState,
  visibleBounds,
  type WindowState,
  writeWindowState,
} from './window-state.ts';

/** The one window of the bench. */
export interface BenchWindow {
  /** Loads the page that the station serves. */
  showStation(url: string): void;
  /** Says something by itself, without a station. */
  tell(notice: Notice): void;
  /** Brings the window to the front. */
  focus(): void;
}

// Shorter, the notice of a restart would flash by unread.
const readableMilliseconds = 1_000;
const unnoticedStartMilliseconds = 500;
// An open key store answers sooner.
const unnoticedKeyStoreMilliseconds = 1_500;
const reloadAfterCrashMilliseconds = 1_000;

function stateFile(): string {
  return join(app.getPath('userData'), 'window.json');
}

/** The station's port of last time, to be asked for again. */
export function formerStationPort(): number | undefined {
  return readWindowState(stateFile()).stationPort;
}

/**
 * Opens the window where it was left. It stays hidden until it has something to show: the station's page, or after
 * half a second the notice that the station is starting.
 */
export function openBenchWindow(options: LaunchOptions, development: boolean): BenchWindow {
  const remembered = readWindowState(stateFile());
  const areas = screen.getAllDisplays().map((display) => display.workArea);
  const window = new BrowserWindow({
    ...fittingSize({ width: 1440, height: 900 }, screen.getPrimaryDisplay().workArea),
    ...visibleBounds(remembered.bounds, areas),
    minWidth: 800,
    minHeight: 600,
    // Shown with its first content, so that a quick start does not flicker.
    show: false,
    title: 'Bandwright',
    backgroundColor: nativeTheme.shouldUseDarkColors ? '#14171a' : '#f4f4f1',
    autoHideMenuBar: !options.kiosk,
    kiosk: options.kiosk,
    fullscreen: options.kiosk || options.fullScreen || remembered.isFullScreen,
    webPreferences: { ...securePreferences(development), zoomFactor: remembered.zoomFactor },
  });
  if (options.kiosk) window.setMenuBarVisibility(false);
  const contents = window.webContents;
  keepDocumentsInSight(contents);
  let zoomFactor = remembered.zoomFactor;
  let stationPort = remembered.stationPort;
  let shown = 0;
  let noticeReadableAt = 0;
  let stationAddress: string | undefined;

  function remember(): void {
    if (window.isDestroyed()) return;
    // What the words of this start asked for is not taken for the wish of the next.
    const asked = options.kiosk || options.fullScreen;
    const state: WindowState = {
      bounds: asked ? remembered.bounds : window.getNormalBounds(),
      isMaximized: asked ? remembered.isMaximized : window.isMaximized(),
      isFullScreen: asked ? remembered.isFullScreen : window.isFullScreen(),
      zoomFactor,
      stationPort,
    };
    writeWindowState(stateFile(), state);
  }

  function zoom(change: 1 | -1 | 0): void {
    zoomFactor = change === 0 ? 1 : nextZoomFactor(zoomFactor, change);
    contents.setZoomFactor(zoomFactor);
    remember();
  }

  async function load(url: string): Promise<void> {
    try {
      await contents.loadURL(url);
    } catch {
      // Superseded by a later load, or the station is gone again: its keeper tells.
    }
  }

  let remembering: NodeJS.Timeout | undefined;
  const rememberSoon = () => {
    clearTimeout(remembering);
    remembering = setTimeout(remember, 500);
  };
  window.on('move', rememberSoon);
  window.on('resize', rememberSoon);
  window.on('enter-full-screen', rememberSoon);
  window.on('leave-full-screen', rememberSoon);
  window.on('close', () => {
    clearTimeout(remembering);
    remember();
  });
  contents.on('did-finish-load', () => contents.setZoomFactor(zoomFactor));
  window.once('ready-to-show', () => {
    if (remembered.isMaximized && !options.kiosk) window.maximize();
    window.show();
  });
  contents.on('render-process-gone', async (_event, details) => {
    if (details.reason === 'clean-exit' || stationAddress === undefined) return;
    await wait(reloadAfterCrashMilliseconds);
    // The one-time key is spent; the session still holds the cookie that it was exchanged for.
    if (!window.isDestroyed() && stationAddress !== undefined) await load(new URL('/', stationAddress).href);
  });
  Menu.setApplicationMenu(
    buildMenu(
      { kiosk: options.kiosk, development },
      {
        zoom,
        toggleFullScreen: () => window.setFullScreen(!window.isFullScreen()),
        toggleDeveloperTools: () => contents.toggleDevTools(),
        // No window has the focus where no window manager gives it.
        close: () => (BrowserWindow.getFocusedWindow() ?? window).close(),
      },
    ),
  );

  const startingNotice = setTimeout(() => show({ kind: 'starting' }), unnoticedStartMilliseconds);
  let keyStoreNotice: NodeJS.Timeout | undefined;

  function forgetDueNotices(): void {
    clearTimeout(startingNotice);
    clearTimeout(keyStoreNotice);
  }

  function tell(notice: Notice): void {
    if (notice.kind === 'key store') {
      keyStoreNotice = setTimeout(() => show(notice), unnoticedKeyStoreMilliseconds);
      return;
    }
    forgetDueNotices();
    show(notice);
  }

  function show(notice: Notice): void {
    stationAddress = undefined;
    shown += 1;
    if (notice.kind !== 'starting') noticeReadableAt = performance.now() + readableMilliseconds;
    if (!window.isDestroyed()) void load(noticeAddress(notice, noticeLanguage(app.getLocale())));
  }

  return {
    tell,
    async showStation(url) {
      forgetDueNotices();
      stationAddress = url;
      stationPort = Number(new URL(url).port);
      remember();
      shown += 1;
      const turn = shown;
      await wait(Math.max(0, noticeReadableAt - performance.now()));
      if (turn === shown && !window.isDestroyed()) await load(url);
    },
    focus() {
      if (window.isDestroyed()) return;
      if (window.isMinimized()) window.restore();
      window.show();
      window.focus();
    },
  };
}
