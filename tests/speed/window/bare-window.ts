// The least that shows a line of a serial port in an Electron window: `--port=PATH`. Without one it says hello.
import { ReadlineParser } from '@serialport/parser-readline';
import { app, BrowserWindow } from 'electron';
import { SerialPort } from 'serialport';
import { hasGraphicsDevice } from '../../../electron/graphics-device.ts';

const path = process.argv.find((word) => word.startsWith('--port='))?.slice('--port='.length);
const page = `<!doctype html><title>Bare</title><p id="value" style="font: 76px sans-serif">Hello</p><script>
const { ipcRenderer } = require('electron');
const value = document.getElementById('value');
window.painted = [];
const { port1, port2 } = new MessageChannel();
port1.onmessage = ({ data }) => window.painted.push([data, performance.timeOrigin + performance.now()]);
ipcRenderer.on('line', (_event, line) => {
  value.textContent = line;
  requestAnimationFrame(() => port2.postMessage(line));
});
</script>`;

// As ours does: both draw by the same means.
if (!hasGraphicsDevice()) app.disableHardwareAcceleration();
void app.whenReady().then(async () => {
  const window = new BrowserWindow({
    width: 1440,
    height: 900,
    show: false,
    webPreferences: { nodeIntegration: true, contextIsolation: false, backgroundThrottling: false },
  });
  window.once('ready-to-show', () => window.show());
  await window.loadURL(`data:text/html;charset=utf-8,${encodeURIComponent(page)}`);
  if (path === undefined) return;
  const port = new SerialPort({ path, baudRate: 9600 });
  const lines = port.pipe(new ReadlineParser({ delimiter: '\r\n' }));
  lines.on('data', (line: string) => window.webContents.send('line', line));
});
app.on('window-all-closed', () => app.quit());
