import { afterEach, describe, expect, test } from 'vitest';
import { createDecoder } from '../../drivers/decode.ts';
import type { LiveEvent, LiveIndication } from '../../drivers/live-event.ts';
import { createLiveInstrument, type LiveInstrument } from '../../drivers/live-instrument.ts';
import { createSystemClock } from '../../drivers/port/clock.ts';
import type { InstrumentLine } from '../../drivers/port/instrument-line.ts';
import type { SerialSettings } from '../../drivers/port/serial-settings.ts';
import type { InstrumentProfile } from '../../drivers/profile.ts';
import { createPseudoTerminal } from '../../drivers/simulated/pseudo-terminal.ts';
import { profileNamed } from './profile-named.ts';
import { bytesOf, pause, until } from './waiting.ts';

const clock = createSystemClock();
const settings: SerialSettings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 };

const running: { live: LiveInstrument; cable: InstrumentLine }[] = [];
afterEach(async () => {
  for (const { live, cable } of running.splice(0)) {
    await live.stop();
    cable.dispose();
  }
});

/** An instrument on a real pseudo-terminal whose bytes the test writes itself. */
async function connect(
  profile: InstrumentProfile,
  answer?: (request: string, cable: InstrumentLine) => void,
) {
  const cable = createPseudoTerminal('instrument');
  cable.onBytes((chunk) => answer?.(Buffer.from(chunk).toString('latin1'), cable));
  const live = createLiveInstrument({ port: cable.createPort(settings, clock), profile, clock });
  const events: LiveEvent[] = [];
  live.onEvent((event) => events.push(event));
  running.push({ live, cable });
  expect(live.start().ok).toBe(true);
  await until('the port', () => live.port.state.kind === 'open');
  const indications = () => events.filter((event) => event.kind === 'indication');
  const texts = () => indications().map((event) => event.indication.text);
  return { cable, live, events, indications, texts, send: (text: string) => cable.send(bytesOf(text)) };
}

describe('a continuous scale', () => {
  const profile = profileNamed('scale-comma-header');

  test('gives each line once, with its bytes, and not the first piece', async () => {
    const { send, texts, indications, live } = await connect(profile);
    send('4.86 g\r\nST,GS,+   24.86 g\r\nUS,GS,+   24.');
    await pause(20);
    send('91 g\r\nST,GS,+   24.91 g\r\n');
    await until('three lines', () => texts().length === 3);
    expect(texts()).toEqual(['24.86', '24.91', '24.91']);
    expect(indications().map(({ settled }) => settled)).toEqual([true, false, true]);
    expect(Buffer.from(indications()[1]?.bytes ?? []).toString()).toBe('US,GS,+   24.91 g\r\n');
    expect(live.health()).toMatchObject({ condition: 'live', rejections: { first_partial: 1 } });
  });

  test('never joins a half line from before a lost port with what comes after', async () => {
    const { send, texts, live, cable } = await connect(profile);
    send('\r\nST,GS,+    2.2');
    await pause(30);
    cable.unplug();
    await until('the loss', () => live.port.state.kind === 'lost');
    expect(live.health().rejections).toMatchObject({ cut_by_reconnect: 1 });
    cable.replug();
    await until('the port', () => live.port.state.kind === 'open');
    send('33 g\r\nST,GS,+    3.00 g\r\n');
    await until('a line', () => texts().length > 0);
    expect(texts()).toEqual(['3.00']);
  });

  test('has no latest value once the cable is out, and none from before when it is back', async () => {
    const { send, live, cable, texts } = await connect(profile);
    send('\r\nST,GS,+    2.00 g\r\nST,GS,+    2.00 g\r\n');
    await until('a value', () => live.latest() !== undefined);
    cable.unplug();
    await until('the loss', () => live.port.state.kind === 'lost');
    expect(live.latest()).toBeUndefined();
    expect(live.health().condition).toBe('disconnected');
    cable.replug();
    await until('the port', () => live.port.state.kind === 'open');
    expect(live.latest()).toBeUndefined();
    expect(live.health()).toMatchObject({ condition: 'waiting', lastIndicationAt: expect.anything() });
    const before = texts().length;
    send('\r\nST,GS,+    5.00 g\r\nST,GS,+    5.00 g\r\n');
    await until('a new value', () => texts().length > before);
    expect(live.latest()?.indication.text).toBe('5.00');
  });

  test('is said to be silent when it stops, or when it sends nothing that can be believed', async () => {
    const { send, live, events } = await connect({ ...profile, silence_ms: 300 });
    send('\r\nST,GS,+    2.00 g\r\nST,GS,+    2.00 g\r\n');
    const told = () => events.flatMap((event) => (event.kind === 'health' ? [event.health.condition] : []));
    await until('silence', () => told().at(-1) === 'silent');
    expect(live.latest()).toBeUndefined();
    send('noise\r\n'.repeat(20));
    await until('the noise', () => (live.health().rejections.no_match ?? 0) >= 20);
    expect(live.health().condition).toBe('silent');
    send('ST,GS,+    2.00 g\r\n');
    await until('life again', () => told().at(-1) === 'live');
    const changes = told().filter((condition, index, all) => condition !== all[index - 1]);
    expect(changes).toEqual(['disconnected', 'waiting', 'live', 'silent', 'live']);
  });

  test('keeps the raw lines behind a value, from a line boundary on, and they decode to the same', async () => {
    const { send, live, indications } = await connect(profile);
    send('4.86 g\r\nUS,GS,+   24.1');
    await pause(20);
    send('0 g\r\n??\r\nUS,GS,+   24.50 g\r\n');
    await pause(20);
    send('ST,GS,+   24.86 g\r\nST,GS');
    await until('three values', () => indications().length === 3);
    const last = indications().at(-1) as LiveIndication;
    const text = (lines: readonly { bytes: Uint8Array }[]) =>
      lines.map((line) => Buffer.from(line.bytes).toString('latin1'));
    const own = live.evidenceFor({ until: last });
    expect(text(own)).toEqual(['ST,GS,+   24.86 g\r\n']);
    const more = live.evidenceFor({ until: last, backMilliseconds: 1000 });
    expect(text(more)).toEqual([
      'US,GS,+   24.10 g\r\n',
      '??\r\n',
      'US,GS,+   24.50 g\r\n',
      'ST,GS,+   24.86 g\r\n',
    ]);
    const replay = createDecoder(profile, { synchronised: true });
    const outcomes = more.flatMap((line) => replay.push(line.bytes));
    const again = outcomes.at(-1);
    expect(again?.kind === 'indication' && again.indication).toMatchObject({
      ...last.indication,
      offset: expect.any(Number),
    });
  });

  test('stays responsive and small while a line does not end, and reads the next good line', async () => {
    const { cable, live, texts } = await connect(profile);
    const block = new Uint8Array(4096).fill(0x30);
    let sent = 0;
    while (sent < 1_000_000) {
      const taken = cable.send(block);
      sent += taken;
      if (taken === 0) await pause(1);
    }
    await pause(50);
    cable.send(bytesOf('\r\nST,GS,+    7.00 g\r\n'));
    await until('the good line', () => texts().length === 1);
    expect(live.health().rejections.too_long ?? live.health().rejections.first_partial).toBe(1);
    const last = live.latest() as LiveIndication;
    expect(live.evidenceFor({ until: last, backMilliseconds: 60_000 })).toHaveLength(1);
  });

  test('counts a flood without telling each line', async () => {
    const { cable, live, events } = await connect(profile);
    const block = bytesOf('XX,flood without meaning\r\n'.repeat(150));
    for (let sent = 0; sent < 1_000_000; ) {
      const taken = cable.send(block);
      sent += taken;
      if (taken === 0) await pause(1);
    }
    await until('the flood', () => (live.health().rejections.no_match ?? 0) > 30_000);
    expect(events.filter((event) => event.kind === 'rejection').length).toBeLessThan(500);
  });
});

describe('an on-demand scale', () => {
  const profile = profileNamed('scale-request-letter');

  test('is asked at a fair pace, one request at a time', async () => {
    const asked: { at: number; request: string }[] = [];
    const { texts } = await connect(profile, (request, cable) => {
      asked.push({ at: clock.nowMilliseconds(), request });
      cable.send(bytesOf(`S S ${String(asked.length).padStart(7)}.00 g\r\n`));
    });
    await until('four answers', () => texts().length >= 4);
    expect(texts().slice(0, 4)).toEqual(['1.00', '2.00', '3.00', '4.00']);
    expect(new Set(asked.map(({ request }) => request)).size).toBe(1);
    // Arrivals bunch on a busy computer; over four requests the pace must still be kept.
    const pace = profile.request?.poll_ms ?? 0;
    const taken = (asked.at(-1)?.at ?? 0) - (asked[0]?.at ?? 0);
    expect(taken).toBeGreaterThanOrEqual((asked.length - 1) * pace - pace / 2);
  });

  test('is asked again after an answer that did not come, and the missing one is counted', async () => {
    const request = { ...profile.request, hex: '53490d0a', reply_timeout_ms: 150, poll_ms: 50, gap_ms: 10 };
    let asked = 0;
    const { live, texts } = await connect({ ...profile, request }, (_, cable) => {
      asked += 1;
      if (asked === 3) cable.send(bytesOf('S S    3.00 g\r\n'));
    });
    await until('an answer', () => texts().length > 0);
    expect(live.health().replyTimeouts).toBe(2);
  });

  test('is silent when it never answers', async () => {
    const { live } = await connect({ ...profile, silence_ms: 400 });
    await until('silence', () => live.health().condition === 'silent');
  });

  test('gets its tare key pressed between two requests', async () => {
    let heard = '';
    const { live } = await connect(profile, (request, cable) => {
      heard += request;
      cable.send(bytesOf(request.startsWith('S') ? 'S D    1.00 g\r\n' : 'T S\r\n'));
    });
    await until('a request', () => heard.startsWith('S'));
    expect(live.ask('tare').ok).toBe(true);
    await until('the tare request', () => /^S[^\r]*\r\nT[^\r]*\r\nS/.test(heard));
    expect(heard.match(/T/g)).toHaveLength(1);
  });
});

describe('asking for what cannot be', () => {
  test('a tare key that the profile does not have is refused', async () => {
    const { tare_request: _, ...profile } = profileNamed('scale-comma-header');
    const { live } = await connect(profile);
    expect(live.ask('tare')).toMatchObject({ ok: false, error: { code: 'no_request' } });
  });

  test('nothing is sent to a port that is not open', async () => {
    const { live, cable } = await connect(profileNamed('scale-request-letter'));
    cable.unplug();
    await until('the loss', () => live.port.state.kind === 'lost');
    expect(live.ask('reading')).toMatchObject({ ok: false, error: { code: 'port_not_open' } });
  });
});
