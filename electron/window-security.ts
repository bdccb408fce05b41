import {
  app,
  type BrowserWindowConstructorOptions,
  type Session,
  type WebContents,
  type WebPreferences,
} from 'electron';

/**
 * What a page in this program may do: show what the station serves, and nothing else. The rules hold for every
 * page and every session, whoever makes them. Points: "Security" in Electron's documentation.
 */

/** The origin of the station, such as `http://127.0.0.1:4711`; undefined while there is none. */
export type StationOrigin = () => string | undefined;

/** No Node, no bridge into main, no other site's data, nothing remembered on disk. */
export function securePreferences(development: boolean): WebPreferences {
  return {
    nodeIntegration: false,
    nodeIntegrationInWorker: false,
    nodeIntegrationInSubFrames: false,
    contextIsolation: true,
    sandbox: true,
    webSecurity: true,
    allowRunningInsecureContent: false,
    experimentalFeatures: false,
    webviewTag: false,
    navigateOnDragDrop: false,
    // Chromium would fetch dictionaries from the internet.
    spellcheck: false,
    devTools: development,
    // The verdict is heard after a restart too, when nobody has touched the page yet.
    autoplayPolicy: 'no-user-gesture-required',
    // A covered window still counts the seconds of a pull.
    backgroundThrottling: false,
  };
}

/**
 * Puts every page and every session of the program under the rules. Call before the first window.
 *
 * @param documentWindow how a window for a printed document of the station looks; no other window is opened.
 */
export function secureApplication(
  stationOrigin: StationOrigin,
  documentWindow: BrowserWindowConstructorOptions,
): void {
  app.on('session-created', (session) => secureSession(session, stationOrigin));
  app.on('web-contents-created', (_event, contents) => securePage(contents, stationOrigin, documentWindow));
}

function securePage(
  contents: WebContents,
  stationOrigin: StationOrigin,
  documentWindow: BrowserWindowConstructorOptions,
): void {
  const denyForeign = (event: { readonly url: string; preventDefault(): void }) => {
    const isAllowed = isStation(event.url, stationOrigin()) || event.url.startsWith(pdfViewer);
    if (!isAllowed) event.preventDefault();
  };
  contents.on('will-navigate', denyForeign);
  contents.on('will-frame-navigate', denyForeign);
  contents.on('will-redirect', denyForeign);
  contents.setWindowOpenHandler(({ url }) =>
    isDocument(url, stationOrigin())
      ? { action: 'allow', overrideBrowserWindowOptions: documentWindow }
      : { action: 'deny' },
  );
  contents.on('will-attach-webview', (event) => event.preventDefault());
}

function secureSession(session: Session, stationOrigin: StationOrigin): void {
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
  session.webRequest.onBeforeRequest((request, answer) => {
    answer({ cancel: !isHarmless(request.url) && !isStation(request.url, stationOrigin()) });
  });
  session.on('will-download', (event, item) => {
    const from = item.getURL();
    const isOurs = isStation(from, stationOrigin()) || isStation(from.replace(/^blob:/, ''), stationOrigin());
    if (!isOurs) event.preventDefault();
  });
}

/** Content that never leaves the program: our own notices, images the page made, Chromium's tools and PDF viewer. */
function isHarmless(address: string): boolean {
  return /^(data|blob|devtools|chrome):/.test(address) || address.startsWith(pdfViewer);
}

const pdfViewer = 'chrome-extension://mhjfbmdgcfjbbpaeojofohoefgiehjai/';

function isDocument(address: string, origin: string | undefined): boolean {
  return isStation(address, origin) && new URL(address).pathname.startsWith('/documents/');
}

/** True for pages, files and the WebSocket of the station itself. */
function isStation(address: string, origin: string | undefined): boolean {
  if (origin === undefined || !URL.canParse(address)) return false;
  const url = new URL(address);
  return url.origin === origin || (url.protocol === 'ws:' && url.host === new URL(origin).host);
}
