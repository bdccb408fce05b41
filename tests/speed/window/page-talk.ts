import { once } from 'node:events';
import { WebSocket } from 'ws';
import { preciseNow, type RunningProgram } from './electron-program.ts';

/** When a text stood painted in a window. */
export interface Painted {
  readonly text: string;
  /** Milliseconds since 1970 with fractions, on our clock. */
  readonly at: number;
}

/** A page to which a few questions are put through Chromium's debugging server. */
export interface PageTalk {
  evaluate<Value>(expression: string): Promise<Value>;
  /** Bytes of the page's JavaScript heap after its garbage is collected. */
  heapBytes(): Promise<number>;
  /** Presses a key that is no letter, as `KeyboardEvent.key` names it, with its code of old. */
  press(key: string, keyCode: number): Promise<void>;
}

/**
 * Talks to the page in a window for a moment: while something is measured nobody is attached, so that no tool slows
 * the one window more than the other. Not through Playwright, whose every visit leaves a fifth of a megabyte in the
 * page.
 */
export async function talkToPage<Value>(
  program: RunningProgram,
  work: (page: PageTalk) => Promise<Value>,
): Promise<Value> {
  const socket = new WebSocket(await pageAddress(program));
  await once(socket, 'open');
  let asked = 0;
  async function ask(method: string, params: object = {}): Promise<unknown> {
    asked += 1;
    const id = asked;
    const answered = new Promise<unknown>((done, failed) => {
      const hear = (data: unknown) => {
        const answer = JSON.parse(String(data)) as { id?: number; result?: unknown; error?: unknown };
        if (answer.id !== id) return;
        socket.off('message', hear);
        if (answer.error === undefined) done(answer.result);
        else failed(new Error(`${method}: ${JSON.stringify(answer.error)}`));
      };
      socket.on('message', hear);
    });
    socket.send(JSON.stringify({ id, method, params }));
    return answered;
  }
  try {
    return await work({
      async evaluate<Answer>(expression: string) {
        const answer = await ask('Runtime.evaluate', { expression, returnByValue: true });
        return (answer as { result: { value: Answer } }).result.value;
      },
      async heapBytes() {
        await ask('HeapProfiler.collectGarbage');
        return ((await ask('Runtime.getHeapUsage')) as { usedSize: number }).usedSize;
      },
      async press(key, keyCode) {
        for (const type of ['rawKeyDown', 'keyUp'])
          await ask('Input.dispatchKeyEvent', { type, key, code: key, windowsVirtualKeyCode: keyCode });
      },
    });
  } finally {
    socket.close();
  }
}

/** What was painted since the last time, and forgets it. Times are brought to our clock. */
export async function takePainted(page: PageTalk): Promise<Painted[]> {
  const offset = await clockOffset(page);
  const painted = await page.evaluate<[string, number][]>('window.painted.splice(0)');
  return painted.map(([text, at]) => ({ text, at: at - offset }));
}

/** How far the page's clock is ahead of ours, milliseconds: from the quickest of many questions. */
async function clockOffset(page: PageTalk): Promise<number> {
  let best = { took: Number.POSITIVE_INFINITY, offset: 0 };
  for (let question = 0; question < 40; question += 1) {
    const asked = preciseNow();
    const there = await page.evaluate<number>('performance.timeOrigin + performance.now()');
    const answered = preciseNow();
    const took = answered - asked;
    if (took < best.took) best = { took, offset: there - (asked + answered) / 2 };
  }
  return best.offset;
}

async function pageAddress(program: RunningProgram): Promise<string> {
  const { host } = new URL(await program.debuggingAddress());
  const answer = await fetch(`http://${host}/json/list`);
  const targets = (await answer.json()) as { type: string; webSocketDebuggerUrl: string }[];
  const page = targets.find(({ type }) => type === 'page');
  if (page === undefined) throw new Error('the window has no page');
  return page.webSocketDebuggerUrl;
}
