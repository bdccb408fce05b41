import { mkdirSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { inventedJob } from '../../../electron/station/audit/invented-job.ts';
import { remoteHandlers } from '../../../electron/station/serve/remote-calls.ts';
import type { RemoteOptions } from '../../../electron/station/serve/remote-options.ts';
import type { RemoteServer } from '../../../electron/station/serve/remote-server.ts';
import { openToOtherDesks } from '../../../electron/station/serve/remote-station.ts';
import { startScreenServer } from '../../../electron/station/serve/screen-server.ts';
import type { ExportProgress } from '../../../shared/audit/view.ts';
import { callParameters } from '../../../shared/contract.ts';
import { jobCommands } from '../../shared/people/job-commands.ts';
import { managementCommands } from '../../shared/people/management-commands.ts';
import { appendJobEvents, temporaryFolder } from '../store/bench.ts';
import { demoPins, TestBench } from '../test-station.ts';
import { selfSigned, type TestCertificate } from './certificate.ts';
import { get, RemoteBrowser } from './remote-browser.ts';

let bench: TestBench;
let server: RemoteServer;
let pageFolder: string;
let made: TestCertificate;
const open: RemoteBrowser[] = [];

beforeEach(async () => {
  bench = await new TestBench().open();
  pageFolder = join(temporaryFolder(), 'page');
  mkdirSync(pageFolder);
  writeFileSync(join(pageFolder, 'index.html'), '<!doctype html><title>Bandwright</title>');
  made = selfSigned(['desk.example', '127.0.0.1'], new Date(Date.now() - 86_400_000), new Date('2999-01-01'));
});

afterEach(async () => {
  for (const browser of open.splice(0)) browser.close();
  await server?.close();
  await bench.end();
});

async function serve(options: Partial<RemoteOptions> = {}): Promise<string> {
  server = await openToOtherDesks(
    bench.station,
    { host: '127.0.0.1', port: 0, names: ['127.0.0.1'], tls: null, certificateEnds: null, ...options },
    pageFolder,
  );
  return server.url;
}

async function serveSecurely(): Promise<string> {
  return serve({ names: ['desk.example'], tls: made });
}

async function browse(url: string, person?: keyof typeof demoPins): Promise<RemoteBrowser> {
  const browser = await RemoteBrowser.open(url, url.startsWith('https') ? made.certificate : undefined);
  open.push(browser);
  if (person === undefined) return browser;
  const code = await browser.codeOf('signIn', { personId: person, pin: demoPins[person] });
  if (code !== 'taken') throw new Error(code);
  return browser;
}

function inventJobs(count: number): void {
  const { store } = bench.station;
  const documents = putInventedDocuments(store);
  for (let number = 1; number <= count; number++)
    appendJobEvents(store, inventedJob(number, Date.UTC(2026, 2, 2) + number * 900_000, documents));
}

/** One set of well-formed parameters for every call there is. */
const parametersOf: Readonly<Record<string, unknown>> = {
  lookUpSerial: { serial: 'SLT-1001' },
  command: { command: jobCommands.openJob, pin: '2580' },
  takeInHand: { jobId: null },
  assignInstrument: { instrumentId: 'wrench-1' },
  adjustInstrument: { instrumentId: 'scale-1', action: 'tare' },
  simulate: { instrumentId: 'scale-1', action: 'dish on' },
  manage: { command: managementCommands.openLot, pin: '2580' },
  saveView: { view: { name: 'Mine', filter: {} } },
  removeView: { name: 'Mine' },
};

/** What another desk may ask, written from the words of the task and not from the table of the code. */
const readCalls = [
  ...['signIn', 'signOut', 'timeline', 'findSerials', 'searchJobs', 'searchChoices', 'processChart'],
  ...['checkChart', 'calibratedInstruments', 'savedViews', 'startExport', 'startImpact', 'stopExport'],
  ...['serialDocument', 'document', 'verify', 'stopVerify', 'siteChains', 'siteLot'],
];

describe('another desk', () => {
  it('has a table of calls in which every one reads', () => {
    expect(Object.keys(remoteHandlers).sort()).toEqual([...readCalls].sort());
  });

  it('is refused every call that could change something, and nothing has changed', async () => {
    const browser = await browse(await serve(), 'cedar');
    const { store } = bench.station;
    const before = store.lastSequence();
    const others = Object.keys(callParameters).filter((name) => !readCalls.includes(name));
    for (const name of others) {
      expect([name, await browser.codeOf(name, parametersOf[name] ?? {})]).toEqual([name, 'read_only']);
    }
    for (const name of ['constructor', '__proto__', 'toString', 'hasOwnProperty', '']) {
      expect([name, await browser.codeOf(name, {})]).toEqual([name, 'no_such_call']);
    }
    expect(store.lastSequence()).toBe(before);
    expect(bench.station.audit.savedViews.of('cedar')).toEqual([]);
  });

  it('answers nothing before somebody signs in, and shows no names', async () => {
    const browser = await browse(await serve());
    for (const name of readCalls.filter((call) => call !== 'signIn' && call !== 'signOut')) {
      const parameters = {
        timeline: { serial: 'A' },
        findSerials: { text: '' },
        searchJobs: { filter: {}, before: null },
        processChart: { filter: { quantity: 'mass' } },
        checkChart: { instrumentId: 'scale-1' },
        startExport: { format: 'csv', filter: {}, language: 'en' },
        startImpact: { instrumentId: 'scale-1', certificateHash: 'ab'.repeat(32), language: 'en' },
        stopExport: { exportId: 'none' },
        serialDocument: { serial: 'A', language: 'en' },
        document: { jobId: 'a', kind: 'record' },
        siteLot: { lotId: 'a' },
      }[name];
      expect([name, await browser.codeOf(name, parameters ?? {})]).toEqual([name, 'not_signed_in']);
    }
    await expect.poll(() => browser.news.length).toBeGreaterThan(0);
    const [first] = browser.news;
    expect(first).toMatchObject({
      news: 'snapshot',
      snapshot: { readOnly: true, signedIn: null, people: [] },
    });
    expect(JSON.stringify(first)).not.toMatch(/amber|cedar|2580|scale-1/i);
  });

  it('reads what an auditor reads: serials, searches, charts, and the PDF of a serial', async () => {
    inventJobs(6);
    const url = await serve();
    const browser = await browse(url, 'flint');
    expect(await browser.call('findSerials', { text: 'INV' })).toMatchObject({ ok: true });
    const timeline = await browser.call('timeline', { serial: 'INV-0000003' });
    expect(timeline).toMatchObject({ ok: true, value: { visits: [{ captures: [{}, {}] }] } });
    const page = await browser.call('searchJobs', { filter: { lotId: 'lot-1' }, before: null });
    expect(page).toMatchObject({ ok: true, value: { before: null } });
    const chart = await browser.call('processChart', { filter: { quantity: 'torque' } });
    expect(chart).toMatchObject({ ok: true, value: { points: { length: 6 } } });
    const named = await browser.call('serialDocument', { serial: 'INV-0000003', language: 'de' });
    const { url: path } = named.value as { url: string };
    const fetched = await get(new URL(path, url).href, { headers: { cookie: browser.cookie } });
    expect([fetched.status, fetched.headers['content-type']]).toEqual([200, 'application/pdf']);
    expect(fetched.body.subarray(0, 5).toString()).toBe('%PDF-');
    expect((await get(new URL(path, url).href)).status).toBe(403);
  });

  it('fetches an export that it asked for, and nobody else can', async () => {
    inventJobs(3);
    const url = await serve();
    const browser = await browse(url, 'flint');
    expect(await browser.codeOf('startExport', { format: 'csv', filter: {}, language: 'en' })).toBe('taken');
    const ready = () =>
      browser.news.flatMap((one): ExportProgress[] => (one.news === 'export' ? [one.progress] : [])).at(-1);
    await expect.poll(() => ready()?.state, { timeout: 15_000 }).toBe('ready');
    const address = new URL(ready()?.url ?? '', url).href;
    const fetched = await get(address, { headers: { cookie: browser.cookie } });
    expect(fetched.headers['content-disposition']).toMatch(
      /attachment; filename="bandwright-.*readings.csv"/,
    );
    expect(fetched.body.toString().split('\r\n')).toHaveLength(8);
    const other = await browse(url, 'cedar');
    expect((await get(address, { headers: { cookie: other.cookie } })).status).toBe(404);
    // A technician may read, but not export.
    const technician = await browse(url, 'amber');
    expect(await technician.codeOf('startExport', { format: 'csv', filter: {}, language: 'en' })).toBe(
      'not_allowed',
    );
  });

  it('is shown out when the account is closed', async () => {
    const url = await serve();
    const browser = await browse(url, 'flint');
    expect(await browser.codeOf('savedViews', {})).toBe('taken');
    const administrator = bench.screen('quartz');
    await bench.mustCall(administrator, 'manage', {
      command: { kind: 'deactivatePerson', personId: 'flint', reason: 'Left.' },
      pin: demoPins.quartz,
    });
    expect(await browser.codeOf('savedViews', {})).toBe('not_signed_in');
    expect(await browser.codeOf('signIn', { personId: 'flint', pin: demoPins.flint })).toBe('sign_in_wrong');
  });
});

describe('the door for other desks', () => {
  it('speaks TLS, sets a cookie that stays on this host, and asks for TLS from now on', async () => {
    const url = await serveSecurely();
    expect(url).toMatch(/^https:\/\/desk\.example:\d+\/$/);
    const page = await get(url, { ca: made.certificate });
    expect(page.status).toBe(200);
    expect(page.headers['set-cookie']?.[0]).toMatch(
      /^__Host-bandwright-desk=[\w-]{43}; HttpOnly; SameSite=Strict; Path=\/; Secure$/,
    );
    expect(page.headers['strict-transport-security']).toMatch(/^max-age=\d{8}/);
    expect(page.headers['content-security-policy']).toContain("default-src 'none'");
    await expect(get(url.replace('https', 'http'))).rejects.toThrow();
    const browser = await browse(url, 'flint');
    expect(await browser.codeOf('searchChoices', {})).toBe('taken');
  });

  it('opens for its name alone, and for pages of its own', async () => {
    const url = await serveSecurely();
    const { port } = new URL(url);
    const ca = made.certificate;
    for (const host of [
      `127.0.0.1:${port}`,
      `evil.example:${port}`,
      'desk.example',
      `desk.example.:${port}`,
      '',
    ]) {
      expect([host, (await get(url, { ca, headers: { host } })).status]).toEqual([host, 421]);
    }
    expect((await get(url, { ca, method: 'POST' })).status).toBe(405);
    const { cookie } = await browse(url, 'flint');
    const upgrade = (origin: string) => RemoteBrowser.openWith(url, { cookie, origin, ca });
    for (const origin of [
      'https://evil.example',
      `http://desk.example:${port}`,
      'https://desk.example',
      'null',
    ]) {
      await expect(upgrade(origin), origin).rejects.toThrow('403');
    }
    await expect(RemoteBrowser.openWith(url, { cookie: '', ca })).rejects.toThrow('401');
  });

  it('outlives addresses that are none and connections that are cut off in the middle', async () => {
    const url = await serve();
    const { host, port } = new URL(url);
    for (const address of ['//', 'http://[', '/station']) {
      const upgrade = 'Connection: Upgrade\r\nUpgrade: websocket\r\n';
      for (const headers of ['', upgrade]) {
        const socket = connect(Number(port), '127.0.0.1');
        socket.on('error', () => undefined);
        socket.write(`GET ${address} HTTP/1.1\r\nHost: ${host}\r\n${headers}\r\n`);
        await wait(20);
        socket.resetAndDestroy();
      }
    }
    expect((await get(url)).status).toBe(200);
  });

  it('has sessions of its own: no cookie of the bench opens it, and none of its opens the bench', async () => {
    const { station } = bench;
    const atBench = await startScreenServer({
      pageFolder,
      port: 0,
      sessions: station.sessions,
      wallTime: () => station.clock.wallTime(),
      onScreen: (screen) => station.welcome(screen),
      answer: async () => ({ ok: true, value: null }),
      sendDocument: async () => false,
    });
    const url = await serve();
    const benchCookie = (await get(`http://127.0.0.1:${atBench.port}/`)).headers['set-cookie'];
    expect(benchCookie).toBeUndefined();
    const token = station.sessions.admit(station.clock.wallTime());
    for (const cookie of [`bandwright=${token}`, `bandwright-desk=${token}`]) {
      await expect(RemoteBrowser.openWith(url, { cookie })).rejects.toThrow('401');
    }
    const remote = await browse(url, 'cedar');
    const value = remote.cookie.split('=')[1];
    const page = await get(`http://127.0.0.1:${atBench.port}/`, {
      headers: { cookie: `bandwright=${value}` },
    });
    expect(page.status).toBe(403);
    await atBench.close();
  });

  it('does not tell a wrong name from a wrong PIN, and slows down whoever guesses, without locking the bench', async () => {
    const url = await serve();
    const browser = await browse(url);
    const guess = (personId: string, pin: string) => browser.codeOf('signIn', { personId, pin });
    expect(await guess('amber', '0000')).toBe('sign_in_wrong');
    expect(await guess('nobody', '0000')).toBe('sign_in_wrong');
    const codes: string[] = [];
    for (let pin = 1000; pin < 1010; pin++) codes.push(await guess('amber', String(pin)));
    expect(codes.slice(4)).toEqual(Array(6).fill('sign_in_wait'));
    // Even the right PIN waits now, here; at the bench nothing is known of all this.
    expect(await guess('amber', demoPins.amber)).toBe('sign_in_wait');
    const screen = bench.screen(null);
    expect(await bench.codeOf(screen, 'signIn', { personId: 'amber', pin: demoPins.amber })).toBe('taken');
  });

  it('takes the name as people write it, the id or the badge', async () => {
    const url = await serve();
    const name = bench.station.people.name('flint');
    for (const who of ['flint', name, name.toUpperCase(), 'DEMO-FLINT']) {
      const browser = await browse(url);
      expect([who, await browser.codeOf('signIn', { personId: who, pin: demoPins.flint })]).toEqual([
        who,
        'taken',
      ]);
    }
  });

  it('lets nobody ask too much at once, and hangs up on whoever goes on', async () => {
    const browser = await browse(await serve(), 'flint');
    const codes = await Promise.all(Array.from({ length: 80 }, () => browser.codeOf('savedViews', {})));
    expect(codes.filter((code) => code === 'taken').length).toBeGreaterThan(20);
    expect(codes.filter((code) => code === 'too_many_calls').length).toBeGreaterThan(20);
    for (let more = 0; more < 200; more++)
      browser.send(JSON.stringify({ id: 1, call: 'savedViews', parameters: {} }));
    await expect.poll(() => browser.closed, { timeout: 5000 }).toBe(1008);
  });

  it('answers too many requests with 429, and hangs up on what is no call', async () => {
    const url = await serve();
    const browser = await browse(url);
    browser.send('{"call":"no id"}');
    await expect.poll(() => browser.closed, { timeout: 5000 }).toBe(1008);
    const statuses: number[] = [];
    for (let count = 0; count < 160; count++) statuses.push((await get(url)).status);
    expect(statuses.filter((status) => status === 200).length).toBeGreaterThan(90);
    expect(statuses).toContain(429);
  });
});
