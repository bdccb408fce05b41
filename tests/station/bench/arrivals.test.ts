import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it, onTestFinished } from 'vitest';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { identifyPorts, type PortLister } from '../../../drivers/port/port-list.ts';
import { createPseudoTerminal } from '../../../drivers/simulated/pseudo-terminal.ts';
import { PeakMemory } from '../../../electron/station/bench/peak-memory.ts';
import { RunningInstruments } from '../../../electron/station/bench/running-instruments.ts';
import instruments from '../../../seeds/instruments.json' with { type: 'json' };
import { type Instrument, registerEntrySchema } from '../../../shared/instrument/instrument.ts';
import { openTestStore, temporaryFolder } from '../store/bench.ts';

const holdPort = fileURLToPath(new URL('../../serial/hold-port.ts', import.meta.url));

/** The scale of the demo workshop on that port; without one it is simulated. */
function scaleOn(path?: string): Instrument {
  const seed = instruments.find(({ instrumentId }) => instrumentId === 'scale-1');
  const entry = registerEntrySchema.parse(seed?.entry);
  return {
    ...entry,
    simulated: path === undefined,
    portIdentity: path === undefined ? {} : { path },
    instrumentId: path === undefined ? 'simulated' : 'real',
    certificates: [],
    lastCheck: null,
    concession: null,
    retired: null,
    version: 1,
  };
}

function runningWith(register: Map<string, Instrument>, listPorts: PortLister): RunningInstruments {
  const folder = temporaryFolder();
  const running = new RunningInstruments({
    store: openTestStore(folder),
    clock: createSystemClock(),
    log: { info: () => undefined, warn: () => undefined, error: () => undefined },
    seed: 1,
    peaks: new PeakMemory(join(folder, 'peaks.json')),
    practice: null,
    listPorts,
    entry: (instrumentId) => register.get(instrumentId),
    onHealth: () => undefined,
    onReading: () => undefined,
  });
  onTestFinished(() => running.close());
  return running;
}

it('an instrument that waits seconds for its next try is tried at once when a device is plugged in', async () => {
  const line = createPseudoTerminal('scale');
  onTestFinished(() => line.dispose());
  const other = spawn(process.execPath, [holdPort, line.path], { stdio: ['pipe', 'pipe', 'inherit'] });
  onTestFinished(() => void other.kill());
  expect(String((await once(other.stdout, 'data'))[0])).toBe('held\n');

  let plugged = false;
  const running = runningWith(new Map(), async () =>
    identifyPorts(
      plugged
        ? [{ path: line.path, identity: { transport: 'serial', path: line.path }, isScale: false }]
        : [],
    ),
  );
  running.start(scaleOn(line.path));
  const port = running.get('real')?.live.port;
  const nextTry = () =>
    port !== undefined && 'nextTryAtMilliseconds' in port.state ? port.state.nextTryAtMilliseconds : 0;
  await expect.poll(() => nextTry() - performance.now(), { timeout: 10_000 }).toBeGreaterThan(4500);
  expect(port?.state.kind).toBe('busy');

  const wouldHaveTried = nextTry();
  other.stdin.end();
  await once(other, 'close');
  plugged = true;
  await expect.poll(() => port?.state.kind, { timeout: 10_000 }).toBe('open');
  const { state } = port ?? {};
  if (state?.kind !== 'open') throw new Error('the port is open no more');
  expect(state.since.arrivedAtMilliseconds).toBeLessThan(wouldHaveTried);
});

it('looks at the list of ports only while a real instrument is connected', async () => {
  const line = createPseudoTerminal('scale');
  onTestFinished(() => line.dispose());
  let looks = 0;
  const register = new Map<string, Instrument>([['real', scaleOn(line.path)]]);
  const running = runningWith(register, async () => {
    looks += 1;
    return [];
  });
  running.start(scaleOn());
  expect(looks).toBe(0);
  await running.refresh('real');
  expect(looks).toBe(1);

  register.set('real', { ...scaleOn(line.path), retired: '2031-04-17T10:02:11.000+02:00' });
  await running.refresh('real');
  const seen = looks;
  await new Promise((resolve) => setTimeout(resolve, 1700));
  expect(looks).toBe(seen);
});
