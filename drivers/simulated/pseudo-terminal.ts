import { renameSync, rmSync, symlinkSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { ReadStream } from 'node:tty';
import type { InstrumentLine } from '../port/instrument-line.ts';
import { createListenerSet } from '../port/listener-set.ts';
import { createSerialPort } from '../port/serial-port.ts';
import { openTerminalPair } from './native-pty.ts';
import { createOwnedFolder } from './owned-folder.ts';

/**
 * A cable made of a pseudo-terminal. The station opens `path`, a link in a private folder (mode 0700) which leads to
 * the present terminal; pulling the cable closes the terminal and removes the link. A child process that is started
 * while it is plugged in holds the instrument's end as well (the native `open()` leaves it inheritable, and Node has
 * no call to change that): a pull then reads as silence. The station itself starts none.
 *
 * @param name file name of the link, for example `scale`
 */
export function createPseudoTerminal(name: string): InstrumentLine {
  const folder = createOwnedFolder();
  const path = join(folder, name);
  const listeners = createListenerSet<[Uint8Array]>();
  let ends: TerminalEnds | undefined;

  function replug(): void {
    if (ends !== undefined) return;
    ends = openEnds((chunk) => listeners.tell(chunk));
    const fresh = `${path}.new`;
    symlinkSync(ends.path, fresh);
    renameSync(fresh, path);
  }
  function unplug(): void {
    if (ends === undefined) return;
    rmSync(path, { force: true });
    ends.close();
    ends = undefined;
  }

  replug();
  return {
    path,
    get plugged() {
      return ends !== undefined;
    },
    send: (bytes) => ends?.send(bytes) ?? 0,
    onBytes: (listener) => listeners.add(listener),
    unplug,
    replug,
    createPort: (settings, clock, claims) =>
      createSerialPort({ path, settings, clock, ...(claims === undefined ? {} : { claims }) }),
    dispose() {
      unplug();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

interface TerminalEnds {
  readonly path: string;
  send(bytes: Uint8Array): number;
  close(): void;
}

function openEnds(onBytes: (chunk: Uint8Array) => void): TerminalEnds {
  const { master, slave, pty } = openTerminalPair();
  // Raw from the start: a fresh terminal echoes what the instrument sends back to it. And kept open: without any
  // open slave the master reads an error whenever the station closes its port.
  const station = new ReadStream(slave);
  station.on('error', () => undefined);
  station.setRawMode(true);
  const instrument = new ReadStream(master);
  instrument.on('error', () => undefined);
  instrument.on('data', (chunk: Buffer) => onBytes(chunk));
  let open = true;
  return {
    path: pty,
    send(bytes) {
      if (!open) return 0;
      try {
        return writeSync(master, bytes);
      } catch (error) {
        if (error instanceof Error && 'code' in error && (error.code === 'EAGAIN' || error.code === 'EIO'))
          return 0;
        throw error;
      }
    },
    close() {
      open = false;
      instrument.destroy();
      station.destroy();
    },
  };
}
