import { read } from 'node:fs';
import { promisify } from 'node:util';
import type { SerialPort } from 'serialport';

const readDescriptor = promisify(read);
/** The device has no bytes yet, or a signal came first. */
const notYet = new Set(['EAGAIN', 'EWOULDBLOCK', 'EINTR']);

/** An open device of the binding for Linux or macOS. */
interface PolledDevice {
  readonly fd: number | null;
  readonly poller: { once(event: 'readable', callback: (error: Error | null) => void): unknown };
  read(buffer: Buffer, offset: number, length: number): Promise<{ buffer: Buffer; bytesRead: number }>;
}

/**
 * Makes an open port end when its device is gone. A read that is under way while the cable is pulled returns zero
 * bytes (a terminal that was hung up is at its end). The binding takes that for "nothing yet" and reads again
 * without a pause, for ever: one processor is busy and the port stays open (seen in 2 of 20 pulls right after a
 * byte, bindings-cpp 13.0.0). Here zero bytes are the end. Does nothing on Windows, whose binding reads otherwise.
 */
export function endAtHangUp(port: SerialPort): void {
  const device: PolledDevice | object | undefined = port.port;
  if (device === undefined || !('poller' in device)) return;
  const { poller } = device;
  const readable = () =>
    new Promise<void>((resolve, reject) => {
      poller.once('readable', (error) => (error === null ? resolve() : reject(error)));
    });
  device.read = async (buffer, offset, length) => {
    for (;;) {
      if (device.fd === null) throw canceled();
      try {
        const { bytesRead } = await readDescriptor(device.fd, buffer, offset, length, null);
        if (bytesRead === 0) throw new Error('the device has hung up');
        return { bytesRead, buffer };
      } catch (error) {
        if (device.fd === null) throw canceled();
        if (!(error instanceof Error && 'code' in error && notYet.has(String(error.code)))) throw error;
      }
      await readable();
    }
  };
}

/** What the stream takes for a read that was given up because the port closes, not for a fault. */
function canceled(): Error {
  return Object.assign(new Error('The port is closed.'), { canceled: true });
}
