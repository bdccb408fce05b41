// The twenty points of "Security" in Electron's documentation (electronjs.org, tutorial/security), one test each.
import { readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { FuseV1Options, getCurrentFuseWire } from '@electron/fuses';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { preparedVersion } from '../../electron/launch/prepared-build.ts';
import manifest from '../../package.json' with { type: 'json' };
import {
  type BenchWindowUnderTest,
  makeDataFolder,
  projectFolder,
  removeDataFolder,
  standInStation,
  startBenchWindow,
} from './bench-window.ts';

// How @electron/fuses reads a fuse: the character '0' or '1' of the fuse wire.
const fuseOff = 48;
const fuseOn = 49;

let bench: BenchWindowUnderTest;
let foreign: Server;
let foreignAddress = '';
const foreignRequests: string[] = [];
const data = makeDataFolder();

beforeAll(async () => {
  foreign = createServer((request, response) => {
    foreignRequests.push(request.url ?? '');
    response.setHeader('access-control-allow-origin', '*').end('<title>Foreign</title>');
  });
  await new Promise<void>((done) => foreign.listen(0, '127.0.0.1', done));
  foreignAddress = `http://127.0.0.1:${(foreign.address() as AddressInfo).port}`;
  bench = await startBenchWindow({ data, environment: { BANDWRIGHT_STATION: standInStation } });
});

afterAll(async () => {
  await bench.close();
  foreign.close();
  removeDataFolder(data);
});

function preferences(): Promise<Record<string, unknown>> {
  return bench.app.evaluate(({ BrowserWindow }) => {
    const contents = BrowserWindow.getAllWindows()[0]?.webContents;
    return JSON.parse(
      JSON.stringify(Reflect.apply(Reflect.get(contents ?? {}, 'getLastWebPreferences'), contents, [])),
    );
  });
}

async function expectStillAtStation(): Promise<void> {
  expect(await bench.page.locator('h1').textContent()).toBe('Stand-in station');
  expect(foreignRequests).toEqual([]);
}

/** What the address loads when Electron's main process itself is told to load it, or the error. */
function loadInSecondWindow(address: string): Promise<string> {
  return bench.app.evaluate(async ({ BrowserWindow }, url) => {
    const window = new BrowserWindow({ show: false, webPreferences: { sandbox: true } });
    try {
      await window.loadURL(url);
      return window.getTitle();
    } catch (error) {
      return String(error);
    } finally {
      window.destroy();
    }
  }, address);
}

describe('Electron security checklist', () => {
  test('1. only what the station serves is loaded, even if main itself asks for more', async () => {
    expect(await loadInSecondWindow(`${foreignAddress}/`)).toContain('ERR_BLOCKED_BY_CLIENT');
    expect(await loadInSecondWindow('https://192.0.2.1/')).toContain('ERR_BLOCKED_BY_CLIENT');
    await expectStillAtStation();
  });

  test('2. the page has no Node', async () => {
    expect(
      await bench.page.evaluate('[typeof require, typeof process, typeof module, typeof Buffer]'),
    ).toEqual(Array(4).fill('undefined'));
    expect(await preferences()).toMatchObject({ nodeIntegration: false });
  });

  test('3. contexts are isolated', async () => {
    expect(await preferences()).toMatchObject({ contextIsolation: true });
  });

  test('4. the page is sandboxed', async () => {
    expect(await preferences()).toMatchObject({ sandbox: true });
  });

  test('5. every permission is refused', async () => {
    const states = await bench.page.evaluate(`(async () => {
      const names = ['geolocation', 'camera', 'microphone', 'notifications', 'midi', 'clipboard-read'];
      return Promise.all(names.map(async (name) => (await navigator.permissions.query({ name })).state));
    })()`);
    expect(states).toEqual(Array(6).fill('denied'));
    expect(await bench.page.evaluate('Notification.requestPermission()')).toBe('denied');
    const outcome = (request: string) =>
      bench.page.evaluate(`${request}.then((given) => JSON.stringify(given), (error) => error.name)`);
    expect(await outcome('navigator.clipboard.readText()')).toBe('NotAllowedError');
    expect(await outcome('navigator.hid.requestDevice({ filters: [] })')).toBe('[]');
    expect(await outcome('navigator.serial.requestPort()')).toBe('NotFoundError');
    expect(await outcome('navigator.usb.requestDevice({ filters: [] })')).toBe('NotFoundError');
  });

  test('6. web security is on: another origin cannot be read', async () => {
    expect(await preferences()).toMatchObject({ webSecurity: true });
    expect(await bench.page.evaluate(`fetch('${foreignAddress}/').then(() => 'read', () => 'refused')`)).toBe(
      'refused',
    );
    await expectStillAtStation();
  });

  test('7. the content security policy holds: no inline script, no eval', async () => {
    const ran = await bench.page.evaluate(`(() => {
      const script = document.createElement('script');
      script.textContent = 'document.documentElement.dataset.inline = "ran"';
      document.head.append(script);
      return document.documentElement.dataset.inline ?? 'refused';
    })()`);
    expect(ran).toBe('refused');
    expect(await bench.page.evaluate('document.documentElement.dataset.ready')).toBe('yes');
  });

  test('8. insecure content is not allowed', async () => {
    expect(await preferences()).toMatchObject({ allowRunningInsecureContent: false });
  });

  test('9. no experimental features', async () => {
    expect(await preferences()).toMatchObject({ experimentalFeatures: false });
  });

  test('10. no extra features of the engine are switched on', async () => {
    expect((await preferences()).enableBlinkFeatures ?? '').toBe('');
  });

  test('11. and 12. a <webview> is nothing', async () => {
    const kind = await bench.page.evaluate(`(() => {
      const view = document.createElement('webview');
      view.setAttribute('allowpopups', '');
      view.src = '${foreignAddress}/';
      document.body.append(view);
      return typeof view.getWebContentsId;
    })()`);
    expect(kind).toBe('undefined');
    expect(await bench.app.evaluate(({ webContents }) => webContents.getAllWebContents().length)).toBe(1);
    await expectStillAtStation();
  });

  test('13. the page cannot go elsewhere: link, form, redirect, frame', async () => {
    const leave = [
      `location.href = '${foreignAddress}/'`,
      `location.href = '/away?${encodeURIComponent(`${foreignAddress}/`)}'`,
      `location.href = 'data:text/html,away'`,
      `(() => { const link = document.createElement('a'); link.href = '${foreignAddress}/'; document.body.append(link); link.click(); })()`,
      `(() => { const frame = document.createElement('iframe'); frame.src = '${foreignAddress}/'; document.body.append(frame); })()`,
    ];
    for (const step of leave) {
      await bench.page.evaluate(step);
      await bench.page.waitForTimeout(150);
      await expectStillAtStation();
    }
  });

  test('14. no second window opens', async () => {
    expect(await bench.page.evaluate(`window.open('${foreignAddress}/') === null`)).toBe(true);
    expect(await bench.page.evaluate(`window.open('/') === null`)).toBe(true);
    expect(await bench.app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows().length)).toBe(1);
    await expectStillAtStation();
  });

  test('14. only a document of the station gets a window, as closed as the first; it fits, and Escape goes back', async () => {
    const opened = bench.app.waitForEvent('window');
    await bench.page.evaluate(`window.open('/documents/invented.pdf', '_blank', 'noopener')`);
    const page = await opened;
    await expect.poll(() => page.url()).toContain('/documents/invented.pdf');
    expect(
      await bench.app.evaluate(({ BrowserWindow }) =>
        BrowserWindow.getAllWindows().map((window) => {
          const contents = window.webContents;
          const kept = Reflect.apply(
            Reflect.get(contents, 'getLastWebPreferences'),
            contents,
            [],
          ) as Electron.WebPreferences;
          return [kept.sandbox, kept.contextIsolation, kept.nodeIntegration];
        }),
      ),
    ).toEqual(Array(2).fill([true, true, false]));
    // Once as the page and once inside the viewer: it can be read and printed.
    const framesWithDocument = () =>
      bench.app.evaluate(
        ({ BrowserWindow }) =>
          BrowserWindow.getAllWindows()
            .flatMap((window) => window.webContents.mainFrame.framesInSubtree)
            .filter((frame) => frame.url.endsWith('/documents/invented.pdf')).length,
      );
    await expect.poll(framesWithDocument).toBe(2);
    await page.screenshot({ path: `${projectFolder}/tests/.artifacts/document.png` });
    const fits = await bench.app.evaluate(({ BrowserWindow, screen }) =>
      BrowserWindow.getAllWindows().every((window) => {
        const { workArea } = screen.getDisplayMatching(window.getBounds());
        const [width = 0, height = 0] = window.getSize();
        return width <= workArea.width && height <= workArea.height;
      }),
    );
    expect(fits).toBe(true);
    // As a keyboard gives it to the viewer, which is a page inside the page.
    await bench.app.evaluate(({ webContents }) => {
      for (const contents of webContents.getAllWebContents()) {
        const isViewer = contents.getURL().endsWith('/documents/invented.pdf');
        if (isViewer) contents.sendInputEvent({ type: 'keyDown', keyCode: 'Escape' });
      }
    });
    const windows = () => bench.app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows().length);
    await expect.poll(windows).toBe(1);
    await expectStillAtStation();
  });

  test('15. nothing is handed to the desktop to open', () => {
    const main = readFileSync(join(projectFolder, 'out', 'main.mjs'), 'utf8');
    expect(main).not.toMatch(/openExternal|openPath/);
  });

  test('16. the supported Electron is pinned exactly, and the build that runs is the one that was said', async () => {
    expect(manifest.devDependencies.electron).toMatch(/^\d+\.\d+\.\d+$/);
    const running = await bench.app.evaluate(() => process.versions.electron);
    expect([manifest.devDependencies.electron, preparedVersion]).toContain(running);
  });

  test('17. main listens to no message from a page', async () => {
    const listeners = await bench.app.evaluate(({ ipcMain }) => ({
      events: ipcMain.eventNames().map(String),
      handlers: (Reflect.get(ipcMain, '_invokeHandlers') as Map<string, unknown>).size,
    }));
    // Electron itself listens for 'error', which no page can send.
    expect(listeners).toEqual({ events: ['error'], handlers: 0 });
  });

  test('18. files cannot be read through file:', async () => {
    expect(await loadInSecondWindow('file:///etc/hostname')).toContain('ERR_BLOCKED_BY_CLIENT');
    await bench.page.evaluate(`location.href = 'file:///etc/hostname'`);
    await bench.page.waitForTimeout(150);
    await expectStillAtStation();
  });

  test('19. the fuses of the prepared build are those that were set', async () => {
    const executable = await bench.app.evaluate(() => process.execPath);
    const fuses = await getCurrentFuseWire(executable);
    expect(fuses[FuseV1Options.LoadBrowserProcessSpecificV8Snapshot]).toBe(fuseOff);
    expect(fuses[FuseV1Options.EnableNodeCliInspectArguments]).toBe(fuseOn);
  });

  test('20. no interface of Electron reaches the page', async () => {
    expect((await preferences()).preload ?? '').toBe('');
    const names = await bench.page.evaluate(
      `Object.getOwnPropertyNames(window).filter((name) => /electron|ipc|bridge/i.test(name))`,
    );
    expect(names).toEqual([]);
  });
});
