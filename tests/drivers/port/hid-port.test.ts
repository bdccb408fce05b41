import { EventEmitter } from 'node:events';
import { afterEach, describe, expect, test } from 'vitest';
import { createLiveInstrument } from '../../../drivers/live-instrument.ts';
import type { BytePort } from '../../../drivers/port/byte-port.ts';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { createHidPort, type HidDevice } from '../../../drivers/port/hid-port.ts';
import { profileNamed } from '../../serial/profile-named.ts';
import { pause, until, untilState } from '../../serial/waiting.ts';

// No HID device is at hand: an object of the library's shape stands for it.
class Device extends EventEmitter implements HidDevice {
  readonly written: number[][] = [];
  closed = false;
  async write(report: number[]): Promise<void> {
    this.written.push(report);
  }
  async close(): Promise<void> {
    this.closed = true;
  }
}

const clock = createSystemClock();
let port: BytePort | undefined;
afterEach(() => port?.close());

function start(devices: (Device | undefined)[]): BytePort {
  const opened = createHidPort({
    path: '/dev/bandwright-no-such-hidraw',
    clock,
    openDevice: async () => {
      const device = devices.shift();
      if (device === undefined) throw new TypeError('cannot open device with path');
      return device;
    },
  });
  port = opened;
  opened.open();
  return opened;
}

describe('a HID scale as a port', () => {
  // Report of the HID Point of Sale Usage Tables 1.02: 20 g, stable.
  const report = Buffer.from([0x03, 0x04, 0x02, 0x00, 0x14, 0x00]);

  test('delivers each report as one chunk', async () => {
    const device = new Device();
    const opened = start([device]);
    const chunks: Uint8Array[] = [];
    opened.onBytes((chunk) => chunks.push(chunk));
    await untilState(opened, 'open');
    device.emit('data', report);
    device.emit('data', report);
    expect(chunks).toEqual([Uint8Array.from(report), Uint8Array.from(report)]);
  });

  test('is lost when the device goes, and opens the next one afresh', async () => {
    const first = new Device();
    const second = new Device();
    const opened = start([first, second]);
    await untilState(opened, 'open');
    first.emit('error', new Error('could not read from HID device'));
    expect(opened.state).toMatchObject({ kind: 'lost', reason: 'unplugged' });
    await untilState(opened, 'open');
    expect(first.closed).toBe(true);
    const chunks: Uint8Array[] = [];
    opened.onBytes((chunk) => chunks.push(chunk));
    first.emit('data', report);
    second.emit('data', report);
    expect(chunks).toHaveLength(1);
  });

  test('gives live masses through the profile of HID scales, but not the weighing from before', async () => {
    const device = new Device();
    const hid = createHidPort({ path: '/dev/invented-hidraw', clock, openDevice: async () => device });
    const live = createLiveInstrument({ port: hid, profile: profileNamed('hid-scale'), clock });
    live.start();
    await untilState(hid, 'open');
    await pause(1);
    device.emit('data', Buffer.from([0x03, 0x04, 0x02, 0x00, 0x63, 0x00]));
    expect(live.latest()).toBeUndefined();
    expect(live.health().rejections).toEqual({ stale_replay: 1 });
    device.emit('data', report);
    const latest = live.latest();
    expect(latest).toMatchObject({ settled: true, indication: { text: '20', unit: 'g' } });
    expect(latest && live.evidenceFor({ until: latest }).map(({ bytes }) => Uint8Array.from(bytes))).toEqual([
      Uint8Array.from(report),
    ]);
    await live.stop();
  });

  test('says that a device is not there, although the library says the same for everything', async () => {
    const opened = start([undefined]);
    await until('an answer', () => opened.state.kind !== 'opening');
    expect(opened.state).toMatchObject({ kind: 'missing' });
  });

  test('says which package is missing where devices cannot be looked for, instead of that none is there', async () => {
    const missing = { library: 'libusb-1.0.so.0', package: 'libusb-1.0-0' };
    const opened = createHidPort({
      path: '/dev/bandwright-no-such-hidraw',
      clock,
      locate: async () => undefined,
      lack: async () => ({ missing, message: 'libusb-1.0.so.0: cannot open shared object file' }),
    });
    port = opened;
    opened.open();
    await until('an answer', () => opened.state.kind !== 'opening');
    expect(opened.state).toMatchObject({
      kind: 'failed',
      message: expect.stringContaining('install the Debian package libusb-1.0-0'),
    });
  });

  test('sends a report only while it is open', async () => {
    const device = new Device();
    const opened = start([device]);
    expect(opened.write(Uint8Array.of(2, 2)).ok).toBe(false);
    await untilState(opened, 'open');
    expect(opened.write(Uint8Array.of(2, 2)).ok).toBe(true);
    await pause(1);
    expect(device.written).toEqual([[2, 2]]);
  });
});
