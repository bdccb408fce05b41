// Runs in Electron's main process before the program that is watched, ours or the bare one. Says on standard output
// when the first page was painted, and when the first live reading had come over a WebSocket and a frame was painted.
import { app, type WebContents } from 'electron';

/** Milliseconds since 1970, with fractions, of the end of the next frame. */
const afterNextFrame = `new Promise((done) => requestAnimationFrame(() => {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = () => done(performance.timeOrigin + performance.now());
  port2.postMessage(0);
}))`;
const firstPaint = `new Promise((done) => new PerformanceObserver((list) => {
  for (const entry of list.getEntries())
    if (entry.name === 'first-contentful-paint') done(performance.timeOrigin + entry.startTime);
}).observe({ type: 'paint', buffered: true }))`;

app.on('web-contents-created', (_event, contents) => {
  contents.once('did-start-loading', () => watchSockets(contents));
  contents.once('did-finish-load', () => tell('painted', contents.executeJavaScript(firstPaint)));
});

function watchSockets(contents: WebContents): void {
  let isLive = false;
  contents.debugger.attach('1.3');
  contents.debugger.on('message', (_event, method, parameters) => {
    if (isLive || method !== 'Network.webSocketFrameReceived') return;
    isLive = String(parameters.response.payloadData).includes('"news":"live"');
    if (isLive) tell('live', contents.executeJavaScript(afterNextFrame));
  });
  void contents.debugger.sendCommand('Network.enable');
}

function tell(what: 'painted' | 'live', when: Promise<number>): void {
  when.then(
    (at) => process.stdout.write(`${JSON.stringify({ what, at })}\n`),
    (error: unknown) => process.stderr.write(`${error}\n`),
  );
}
