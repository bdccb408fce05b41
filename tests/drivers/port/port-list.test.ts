import { describe, expect, test } from 'vitest';
import {
  compareLists,
  createLocator,
  findPort,
  identifyPorts,
  type PortChange,
  type PortIdentity,
  type RawPort,
} from '../../../drivers/port/port-list.ts';
import { watchPorts } from '../../../drivers/port/port-watch.ts';
import { describeHidDevice, describeSerialPort } from '../../../drivers/port/system-ports.ts';
import { until } from '../../serial/waiting.ts';

function adapter(path: string, more: Partial<PortIdentity> = {}): RawPort {
  return {
    path,
    identity: { transport: 'serial', path, vendorId: '1a2b', productId: '0001', ...more },
    isScale: false,
  };
}

describe('what a port is known by', () => {
  test('a device with its own serial number is known by it', () => {
    const [port] = identifyPorts([adapter('/dev/ttyUSB0', { serialNumber: 'A17' })]);
    expect(port?.knownBy).toBe('serial number');
  });

  test('twins without serial numbers are known by their sockets', () => {
    const ports = identifyPorts([
      adapter('/dev/ttyUSB0', { byPath: 'socket-1' }),
      adapter('/dev/ttyUSB1', { byPath: 'socket-2' }),
    ]);
    expect(ports.map((port) => port.knownBy)).toEqual(['socket', 'socket']);
  });

  test('twins which share one serial number are known by their sockets too', () => {
    const ports = identifyPorts([
      adapter('/dev/ttyUSB0', { serialNumber: '0001', byPath: 'socket-1' }),
      adapter('/dev/ttyUSB1', { serialNumber: '0001', byPath: 'socket-2' }),
    ]);
    expect(ports.map((port) => port.knownBy)).toEqual(['socket', 'socket']);
  });

  test('a port that is built in is known by its path', () => {
    const [port] = identifyPorts([
      { path: '/dev/ttyS0', identity: { transport: 'serial', path: '/dev/ttyS0' }, isScale: false },
    ]);
    expect(port?.knownBy).toBe('path');
  });
});

describe('finding a device again', () => {
  const scale: PortIdentity = {
    transport: 'serial',
    path: '/dev/ttyUSB0',
    vendorId: '1a2b',
    productId: '0001',
    serialNumber: 'A17',
    byPath: 'socket-1',
  };

  test('by its serial number, although path and socket have changed', async () => {
    const ports = identifyPorts([
      adapter('/dev/ttyUSB0', { serialNumber: 'B20', byPath: 'socket-1' }),
      adapter('/dev/ttyUSB3', { serialNumber: 'A17', byPath: 'socket-2' }),
    ]);
    expect(findPort(scale, ports)).toMatchObject({ kind: 'found', port: { path: '/dev/ttyUSB3' } });
    expect(await createLocator(scale, async () => ports)()).toBe('/dev/ttyUSB3');
  });

  test('another device of the same model on the same path is not it', async () => {
    const ports = identifyPorts([adapter('/dev/ttyUSB0', { serialNumber: 'B20', byPath: 'socket-1' })]);
    expect(findPort(scale, ports)).toEqual({ kind: 'absent' });
    expect(await createLocator(scale, async () => ports)()).toBeUndefined();
  });

  test('among twins the socket decides', () => {
    const { serialNumber: _, ...twin } = scale;
    const ports = identifyPorts([
      adapter('/dev/ttyUSB0', { byPath: 'socket-2' }),
      adapter('/dev/ttyUSB1', { byPath: 'socket-1' }),
    ]);
    expect(findPort(twin, ports)).toMatchObject({ kind: 'found', port: { path: '/dev/ttyUSB1' } });
  });

  test('a model without serial number in another socket is a question for a person', () => {
    const { serialNumber: _, ...twin } = scale;
    const ports = identifyPorts([adapter('/dev/ttyUSB0', { byPath: 'socket-9' })]);
    expect(findPort(twin, ports)).toMatchObject({ kind: 'ambiguous', ports: [{ path: '/dev/ttyUSB0' }] });
  });

  test('a built-in port by its path alone', () => {
    const built = { transport: 'serial', path: '/dev/ttyS0' } as const;
    const ports = identifyPorts([
      { path: '/dev/ttyS0', identity: built, isScale: false },
      adapter('/dev/ttyUSB0'),
    ]);
    expect(findPort(built, ports)).toMatchObject({ kind: 'found', port: { path: '/dev/ttyS0' } });
    expect(findPort({ ...built, path: '/dev/ttyS1' }, ports)).toEqual({ kind: 'absent' });
  });
});

describe('what the system says about a device', () => {
  test('a serial adapter keeps vendor, product, serial number, device id and socket', () => {
    expect(
      describeSerialPort(
        {
          path: '/dev/ttyUSB0',
          manufacturer: 'Invented',
          vendorId: '1A2B',
          productId: '0C01',
          serialNumber: 'A17',
          pnpId: 'usb-Invented_Adapter_A17-if00-port0',
        },
        'pci-0000:00:14.0-usb-0:2:1.0-port0',
      ),
    ).toEqual({
      path: '/dev/ttyUSB0',
      manufacturer: 'Invented',
      isScale: false,
      identity: {
        transport: 'serial',
        path: '/dev/ttyUSB0',
        vendorId: '1a2b',
        productId: '0c01',
        serialNumber: 'A17',
        byId: 'usb-Invented_Adapter_A17-if00-port0',
        byPath: 'pci-0000:00:14.0-usb-0:2:1.0-port0',
      },
    });
  });

  // USB-IF HID Point of Sale Usage Tables 1.02: page 8D scale, usage 20 weighing device.
  test('a HID device is listed only when it says that it is a scale', () => {
    const device = { path: '/dev/hidraw1', vendorId: 0x1a2b, productId: 0x2, product: 'Bench scale' };
    expect(describeHidDevice({ ...device, usagePage: 0x8d, usage: 0x20 })).toMatchObject([
      {
        path: '/dev/hidraw1',
        isScale: true,
        identity: { transport: 'hid', vendorId: '1a2b', productId: '0002' },
      },
    ]);
    expect(describeHidDevice({ ...device, usagePage: 0x01, usage: 0x06 })).toEqual([]);
  });
});

describe('watching the list', () => {
  test('tells what came and what went', () => {
    const [first] = identifyPorts([adapter('/dev/ttyUSB0', { serialNumber: 'A17' })]);
    const [second] = identifyPorts([adapter('/dev/ttyUSB0', { serialNumber: 'B20' })]);
    const change = compareLists(first === undefined ? [] : [first], second === undefined ? [] : [second]);
    expect(change.arrived).toEqual([second]);
    expect(change.gone).toEqual([first]);
  });

  test('a look that fails is no departure', async () => {
    const answers: (() => Promise<readonly RawPort[]>)[] = [
      async () => [adapter('/dev/ttyUSB0')],
      async () => Promise.reject(new Error('no answer')),
      async () => [adapter('/dev/ttyUSB0'), adapter('/dev/ttyACM0', { productId: '0002' })],
      async () => [adapter('/dev/ttyACM0', { productId: '0002' })],
    ];
    let looks = 0;
    const watch = watchPorts(async () => {
      const answer = answers[Math.min(looks, answers.length - 1)];
      looks += 1;
      return identifyPorts((await answer?.()) ?? []);
    }, 5);
    const changes: PortChange[] = [];
    watch.onChange((change) => changes.push(change));
    await until('six looks', () => looks > 5);
    watch.stop();
    expect(
      changes.map(({ arrived, gone }) => [arrived, gone].map((ports) => ports.map((p) => p.path))),
    ).toEqual([
      [['/dev/ttyUSB0'], []],
      [['/dev/ttyACM0'], []],
      [[], ['/dev/ttyUSB0']],
    ]);
    expect(watch.ports.map((port) => port.path)).toEqual(['/dev/ttyACM0']);
    const seen = looks;
    await new Promise((resolve) => setTimeout(resolve, 30));
    expect(looks).toBeLessThanOrEqual(seen + 1);
  });
});
