import { describe, expect, test } from 'vitest';
import {
  keepStationRunning,
  restartDelayMilliseconds,
  type StationEnd,
  type StationRun,
} from '../../electron/station-process.ts';

const killed: StationEnd = { how: 'signal SIGKILL', lastWords: '' };

/** A station that the test starts, makes ready and ends by hand, on a clock that the test moves. */
class ScriptedStation {
  readonly started: (readonly string[])[] = [];
  readonly news: string[] = [];
  asked: string[] = [];
  private clock = 0;
  private waits: { until: number; done: () => void }[] = [];
  private becomeReady: (url: string) => void = () => undefined;
  private askKeyStore: (name: string) => void = () => undefined;
  private becomeEnded: (end: StationEnd) => void = () => undefined;

  readonly parts = {
    dataFolder: '/data' as string | undefined,
    port: undefined as number | undefined,
    now: () => this.clock,
    wait: (milliseconds: number, signal: AbortSignal) =>
      new Promise<void>((done) => {
        signal.addEventListener('abort', () => done(), { once: true });
        this.waits.push({ until: this.clock + milliseconds, done });
      }),
    start: (args: readonly string[]): StationRun => {
      this.started.push(args);
      const ready = new Promise<string>((resolve) => {
        this.becomeReady = resolve;
      });
      const waitsForKeyStore = new Promise<string>((resolve) => {
        this.askKeyStore = resolve;
      });
      const ended = new Promise<StationEnd>((resolve) => {
        this.becomeEnded = resolve;
      });
      const stop = () => this.asked.push('stop');
      return { ready, waitsForKeyStore, ended, stop, kill: () => this.asked.push('kill') };
    },
    watcher: {
      onReady: (url: string) => this.news.push(`ready ${url}`),
      onKeyStore: (name: string) => this.news.push(`waits for ${name}`),
      onLost: (end: StationEnd, failures: number, next: number) =>
        this.news.push(`lost ${end.how}, ${failures} in a row, next in ${next} ms`),
    },
  };

  async ready(url = 'http://127.0.0.1:4711/?key=k'): Promise<void> {
    this.becomeReady(url);
    await settle();
  }

  async waitForKeyStore(): Promise<void> {
    this.askKeyStore('Secret Service');
    await settle();
  }

  async end(end = killed): Promise<void> {
    this.becomeEnded(end);
    await settle();
  }

  async pass(milliseconds: number): Promise<void> {
    this.clock += milliseconds;
    for (const wait of this.waits.filter(({ until }) => until <= this.clock)) wait.done();
    await settle();
  }
}

function settle(): Promise<void> {
  return new Promise((done) => setImmediate(done));
}

describe('keeping the station running', () => {
  test('it gets the data folder, and after its end is started again on the port it had', async () => {
    const station = new ScriptedStation();
    keepStationRunning(station.parts);
    await station.ready();
    await station.pass(60_000);
    await station.end();
    expect(station.news).toEqual([
      'ready http://127.0.0.1:4711/?key=k',
      'lost signal SIGKILL, 1 in a row, next in 200 ms',
    ]);
    expect(station.started).toHaveLength(1);
    await station.pass(200);
    expect(station.started).toEqual([
      ['--data', '/data'],
      ['--data', '/data', '--port', '4711'],
    ]);
  });

  test('a key store that is waited for is told at each start, before it is ready or lost', async () => {
    const station = new ScriptedStation();
    keepStationRunning(station.parts);
    await station.waitForKeyStore();
    await station.end({ how: 'exit code 1', lastWords: 'does not open' });
    await station.pass(200);
    await station.waitForKeyStore();
    await station.ready();
    expect(station.news).toEqual([
      'waits for Secret Service',
      'lost exit code 1, 1 in a row, next in 200 ms',
      'waits for Secret Service',
      'ready http://127.0.0.1:4711/?key=k',
    ]);
  });

  test('the port of last time is asked for at the first start', () => {
    const station = new ScriptedStation();
    keepStationRunning({ ...station.parts, dataFolder: undefined, port: 5000 });
    expect(station.started).toEqual([['--port', '5000']]);
  });

  test('ends in quick succession are followed by longer and longer waits, five seconds at most', async () => {
    const station = new ScriptedStation();
    keepStationRunning(station.parts);
    const delays: number[] = [];
    for (let count = 0; count < 8; count += 1) {
      await station.ready();
      await station.end();
      delays.push(Number(/next in (\d+) ms/.exec(station.news.at(-1) ?? '')?.[1]));
      await station.pass(delays.at(-1) ?? 0);
    }
    expect(delays).toEqual([200, 400, 800, 1600, 3200, 5000, 5000, 5000]);
    expect(station.started).toHaveLength(9);
  });

  test('after ten good seconds the next restart is quick again', async () => {
    const station = new ScriptedStation();
    keepStationRunning(station.parts);
    await station.end();
    await station.pass(200);
    await station.end();
    await station.pass(400);
    await station.ready();
    await station.pass(10_000);
    await station.end();
    expect(station.news.at(-1)).toBe('lost signal SIGKILL, 1 in a row, next in 200 ms');
  });

  test('a station that says nothing for a minute is ended and started again', async () => {
    const station = new ScriptedStation();
    keepStationRunning(station.parts);
    await station.pass(60_000);
    expect(station.asked).toEqual(['kill']);
    await station.end();
    await station.pass(200);
    expect(station.started).toHaveLength(2);
  });

  test('asked to stop it ends for good, by force after three seconds', async () => {
    const station = new ScriptedStation();
    const keeper = keepStationRunning(station.parts);
    await station.ready();
    let isStopped = false;
    const stopped = keeper.stop().then(() => {
      isStopped = true;
    });
    await station.pass(2_999);
    expect(station.asked).toEqual(['stop']);
    await station.pass(1);
    expect(station.asked).toEqual(['stop', 'kill']);
    expect(isStopped).toBe(false);
    await station.end();
    await stopped;
    await station.pass(60_000);
    expect(station.started).toHaveLength(1);
    expect(station.news).toHaveLength(1);
  });

  test('asked to stop while it waits to start again, it starts nothing', async () => {
    const station = new ScriptedStation();
    const keeper = keepStationRunning(station.parts);
    await station.end();
    await keeper.stop();
    await station.pass(60_000);
    expect(station.started).toHaveLength(1);
  });

  test('the first restart comes within a fifth of a second', () => {
    expect(restartDelayMilliseconds(1)).toBeLessThanOrEqual(200);
  });
});
