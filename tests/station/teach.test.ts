import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RegisterEntry } from '../../shared/instrument/instrument.ts';
import type { TeachView } from '../../shared/teach-view.ts';
import { TestBench, type TestScreen } from './test-station.ts';

let bench: TestBench;
let lead: TestScreen;
beforeEach(async () => {
  bench = await new TestBench().open();
  lead = bench.screen('cedar');
});
afterEach(() => bench.end());

const practice = 'practice-device';
const patience = { timeout: 15_000, interval: 50 };

async function view(): Promise<TeachView> {
  return bench.mustCall(lead, 'teach', {});
}

async function listen(): Promise<void> {
  await bench.mustCall(lead, 'teachListen', { portId: practice, baud: 9600, format: '8N1' });
  await expect.poll(async () => (await view()).guess?.ok, patience).toBe(true);
}

/** Reads the display of the practice device as a person does, and confirms it as of that moment. */
async function confirm(state: 'stable' | 'unstable'): Promise<void> {
  let seen: TeachView | undefined;
  await expect
    .poll(async () => {
      seen = await view();
      return seen.practice?.state === state && Number(seen.practice.text) > 1;
    }, patience)
    .toBe(true);
  // The line of what stands on the display has come by now, or comes with the next ones.
  let answer = '';
  await expect
    .poll(async () => {
      const { port, practice: display } = await view();
      answer = await bench.codeOf(lead, 'teachConfirm', {
        heardBytes: port?.bytes ?? 0,
        text: (state === 'stable' ? display : seen?.practice)?.text ?? '',
        unit: 'g',
        state,
      });
      return answer;
    }, patience)
    .toBe('taken');
}

const entry: RegisterEntry = {
  kind: 'scale',
  name: 'Practice scale',
  profileName: 'taught-scale',
  unit: null,
  serialNumber: 'DEMO-PR-0001',
  portIdentity: { path: practice },
  simulated: true,
  invented: true,
  metrology: { quantity: 'mass', unit: 'g', ranges: [{ upTo: 3200, resolution: 0.01 }] },
  accuracyClass: null,
  checkEveryHours: null,
  correctByCertificate: true,
};

describe('teaching an instrument', () => {
  it('shows the ports with who holds them, and offers the practice device on the demo bench', async () => {
    const { ports, profiles } = await bench.mustCall(lead, 'ports', {});
    expect(ports.find(({ portId }) => portId === practice)).toMatchObject({ simulated: true, heldBy: null });
    expect(profiles.map(({ name }) => name)).toContain('scale-comma-header');
  });

  it('learns the practice device from its bytes and its display, and the instrument registered with it speaks', async () => {
    await listen();
    const before = await view();
    expect(before.known).toEqual([]);
    expect(before.guess).toMatchObject({ ends: ['0d0a'], decimal: '.', parityLeftIn: false });
    await bench.mustCall(lead, 'simulate', { instrumentId: practice, action: 'dish on' });
    await confirm('unstable');
    await confirm('stable');
    const { guess } = await view();
    const [line] = guess?.ok === true ? guess.lines : [];
    expect(line?.filter(({ role }) => role !== null).map(({ role }) => role)).toEqual([
      'value',
      'unit',
      'flag',
    ]);

    const about = {
      name: 'taught-scale',
      title: { en: 'Taught scale', de: 'Gelernte Waage' },
      torque: null,
      division: null,
    };
    expect(await bench.mustCall(lead, 'teachSave', about)).toEqual({ name: 'taught-scale', revision: 1 });
    expect((await view()).port).toBeNull();
    const { profiles } = await bench.mustCall(lead, 'ports', {});
    expect(profiles[0]).toMatchObject({ name: 'taught-scale', taught: true, quantity: 'mass' });

    await bench.mustCall(lead, 'manage', {
      command: { kind: 'registerInstrument', instrumentId: 'scale-taught', entry },
    });
    const running = bench.station.bench.running('scale-taught');
    await expect.poll(() => running?.live.latest()?.indication.state, patience).toBe('stable');
    expect(running?.live.latest()?.indication.value).toBeGreaterThan(1);

    // A port that an instrument holds is never listened to.
    expect(await bench.codeOf(lead, 'teachListen', { portId: practice, baud: 9600, format: '8N1' })).toBe(
      'port_held',
    );

    // The profile is evidence: after a restart the instrument speaks again.
    await bench.restart();
    const again = bench.station.bench.running('scale-taught');
    await expect.poll(() => again?.live.latest()?.indication.unit, patience).toBe('g');
  });

  it('refuses what cannot be taught, in the order in which a person meets it', async () => {
    const about = { name: 'scale-comma-header', title: { en: 'A', de: 'A' }, torque: null, division: null };
    expect(await bench.codeOf(lead, 'teachSave', about)).toBe('not_listening');
    expect(await bench.codeOf(lead, 'teachListen', { portId: '/dev/none', baud: 9600, format: '8N1' })).toBe(
      'no_such_port',
    );
    await listen();
    const { port } = await view();
    expect(
      await bench.codeOf(lead, 'teachConfirm', {
        heardBytes: port?.bytes ?? 0,
        text: '98765.43',
        unit: 'g',
        state: 'stable',
      }),
    ).toBe('display_not_found');
    expect(await bench.codeOf(lead, 'teachSave', about)).toBe('name_built_in');
    expect(await bench.codeOf(lead, 'teachSave', { ...about, name: 'taught-scale' })).toBe('unconfirmed');
    await bench.mustCall(lead, 'teachStop', {});
    expect((await view()).port).toBeNull();
  });

  it('shows the last lines of a registered instrument as they came', async () => {
    await expect
      .poll(
        async () => (await bench.mustCall(lead, 'instrumentLines', { instrumentId: 'scale-1' })).lines.length,
        patience,
      )
      .toBeGreaterThan(2);
    const { lines } = await bench.mustCall(lead, 'instrumentLines', { instrumentId: 'scale-1' });
    expect(Buffer.from(lines.at(-1)?.base64 ?? '', 'base64').toString('latin1')).toMatch(
      /^(ST|US),GS,.*g\r\n$/,
    );
  });
});
