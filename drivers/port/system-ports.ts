import { readdir, readFile, realpath } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type HidLook, lookForHidDevices, type SystemHidDevice } from './hid-devices.ts';
import { identifyPorts, type PortLister, type RawPort } from './port-list.ts';

/** HID Point of Sale Usage Tables 1.02 (USB-IF, 2001): page 8D is "scale", usage 20 the weighing device. */
const scaleUsagePage = 0x8d;
const scaleUsage = 0x20;

/** What `SerialPort.list()` says about a port. */
export interface SystemSerialPort {
  readonly path: string;
  readonly manufacturer?: string | undefined;
  readonly serialNumber?: string | undefined;
  readonly pnpId?: string | undefined;
  readonly vendorId?: string | undefined;
  readonly productId?: string | undefined;
}

/**
 * Lists the serial ports and the HID scales of this computer. A source that fails adds nothing.
 *
 * @param lookForHid left out: looks each time; whoever has looked to say what is lacking gives that look
 */
export function createSystemPortLister(lookForHid: () => Promise<HidLook> = lookForHidDevices): PortLister {
  return async () => {
    const [serial, sockets, devices, hid] = await Promise.all([
      listSerialPorts(),
      readSockets(),
      readRealOnboardPorts(),
      lookForHid(),
    ]);
    const listed = serial
      .filter((port) => !isPhantom(port, devices))
      .map((port) => describeSerialPort(port, sockets.get(port.path)));
    return identifyPorts([...listed, ...hid.devices.flatMap(describeHidDevice)]);
  };
}

/** Puts a serial port of the system into our words. */
export function describeSerialPort(port: SystemSerialPort, socket: string | undefined): RawPort {
  return {
    path: port.path,
    identity: {
      transport: 'serial',
      path: port.path,
      ...(port.vendorId === undefined ? {} : { vendorId: port.vendorId.toLowerCase() }),
      ...(port.productId === undefined ? {} : { productId: port.productId.toLowerCase() }),
      ...(port.serialNumber === undefined ? {} : { serialNumber: port.serialNumber }),
      ...(port.pnpId === undefined ? {} : { byId: port.pnpId }),
      ...(socket === undefined ? {} : { byPath: socket }),
    },
    ...(port.manufacturer === undefined ? {} : { manufacturer: port.manufacturer }),
    isScale: false,
  };
}

/** A HID device that says it is a scale; every other HID device is no port of ours. */
export function describeHidDevice(device: SystemHidDevice): RawPort[] {
  if (device.usagePage !== scaleUsagePage || device.usage !== scaleUsage || device.path === undefined)
    return [];
  return [
    {
      path: device.path,
      identity: {
        transport: 'hid',
        path: device.path,
        vendorId: device.vendorId.toString(16).padStart(4, '0'),
        productId: device.productId.toString(16).padStart(4, '0'),
        ...(device.serialNumber ? { serialNumber: device.serialNumber } : {}),
      },
      ...(device.manufacturer ? { manufacturer: device.manufacturer } : {}),
      ...(device.product ? { product: device.product } : {}),
      isScale: true,
    },
  ];
}

/** Linux lists up to 32 on-board ports that no hardware stands behind. */
function isPhantom(port: SystemSerialPort, real: ReadonlySet<string> | undefined): boolean {
  const name = basename(port.path);
  return real !== undefined && /^ttyS\d+$/.test(name) && !real.has(name);
}

async function listSerialPorts(): Promise<readonly SystemSerialPort[]> {
  try {
    const { SerialPort } = await import('serialport');
    return await SerialPort.list();
  } catch {
    return [];
  }
}

/** Device path → name of the socket, on Linux. */
async function readSockets(): Promise<ReadonlyMap<string, string>> {
  const folder = '/dev/serial/by-path';
  const sockets = new Map<string, string>();
  const names = await readdir(folder).catch(() => []);
  await Promise.all(
    names.map(async (name) => {
      const path = await realpath(join(folder, name)).catch(() => undefined);
      if (path !== undefined) sockets.set(path, name);
    }),
  );
  return sockets;
}

/** Names of the on-board ports that have hardware (`type` is not 0); undefined where the system cannot say. */
async function readRealOnboardPorts(): Promise<ReadonlySet<string> | undefined> {
  const folder = '/sys/class/tty';
  const names = await readdir(folder).catch(() => undefined);
  if (names === undefined) return undefined;
  const real = new Set<string>();
  await Promise.all(
    names
      .filter((name) => /^ttyS\d+$/.test(name))
      .map(async (name) => {
        const type = await readFile(join(folder, name, 'type'), 'utf8').catch(() => '0');
        if (type.trim() !== '0') real.add(name);
      }),
  );
  return real;
}
