import { realpath, stat } from 'node:fs/promises';
import { SerialPort } from 'serialport';
import { ok, refuse } from '../../shared/result.ts';
import type { LossReason } from './byte-port.ts';
import { nameGroup } from './device-group.ts';
import { findLockHolder } from './device-lock.ts';
import { endAtHangUp } from './hang-up.ts';
import type { PathClaim } from './path-claims.ts';
import { classifyOpenError } from './port-error.ts';
import type { LinkListeners, LinkOutcome, PortLink } from './port-link.ts';
import type { SerialSettings } from './serial-settings.ts';

/** More unsent bytes than this mean that the instrument does not take them. */
const mostUnsentBytes = 4096;

/**
 * Opens a serial device once, with a new SerialPort object. Its lock is advisory on Linux and macOS: another
 * program may still read our bytes, so silence has to be watched above.
 *
 * @param path device, or a link to it; undefined when the device is not attached
 */
export async function openSerialLink(
  path: string | undefined,
  name: string,
  settings: SerialSettings,
  claim: PathClaim,
  listeners: LinkListeners,
): Promise<LinkOutcome> {
  if (path === undefined) {
    return { ok: false, failure: { kind: 'missing', message: `${name} is not there.` } };
  }
  const target = await findTarget(path);
  if (target === undefined) {
    return { ok: false, failure: { kind: 'missing', message: `${name} is not there.` } };
  }
  const claimed = claim.setTarget(target);
  if (!claimed.ok) return { ok: false, failure: { kind: 'busy', message: claimed.error.message } };

  const holder = await findLockHolder(target);
  if (holder !== undefined) {
    claim.setTarget(undefined);
    const who = holder.program === undefined ? '' : ` (${holder.program}, process ${holder.processId})`;
    return { ok: false, failure: { kind: 'busy', message: `${name} is in use by another program${who}.` } };
  }

  let port: SerialPort;
  try {
    port = new SerialPort({
      path: target,
      baudRate: settings.baud,
      dataBits: settings.data_bits,
      parity: settings.parity,
      stopBits: settings.stop_bits,
      rtscts: settings.rtscts ?? false,
      // Binary frames may hold the bytes of XON and XOFF, so software flow control stays off.
      xon: false,
      xoff: false,
      hupcl: settings.hang_up_on_close ?? false,
      lock: true,
      autoOpen: false,
    });
  } catch (error) {
    claim.setTarget(undefined);
    return { ok: false, failure: { kind: 'failed', message: `${name}: ${textOf(error)}` } };
  }
  // Without a listener an error of the port ends the process.
  port.on('error', () => undefined);
  const failure = await new Promise<Error | null>((resolve) => port.open(resolve));
  if (failure !== null) {
    claim.setTarget(undefined);
    const group = await nameGroup(target);
    return {
      ok: false,
      failure: classifyOpenError(failure.message, { path: name, platform: process.platform, group }),
    };
  }
  endAtHangUp(port);
  await setModemLines(port, settings);
  return { ok: true, link: linkTo(port, name, listeners) };
}

function linkTo(port: SerialPort, name: string, listeners: LinkListeners): PortLink {
  let over = false;
  let closed: Promise<void> | undefined;

  function lose(reason: LossReason, message: string): void {
    if (over) return;
    over = true;
    listeners.onLost(reason, message);
  }
  function close(): Promise<void> {
    over = true;
    closed ??= new Promise((resolve) => {
      port.removeAllListeners('data');
      if (!port.isOpen) {
        resolve();
        return;
      }
      port.close(() => resolve());
    });
    return closed;
  }

  port.on('close', () => lose('unplugged', `${name}: the connection is gone.`));
  port.on('end', () => lose('unplugged', `${name}: the connection is gone.`));
  port.on('error', (error: Error) => lose('read_failed', `${name}: ${error.message}`));

  return {
    start() {
      port.on('data', (chunk: Buffer) => {
        if (!over) listeners.onBytes(chunk);
      });
    },
    write(bytes) {
      // A write to a closed SerialPort waits and is sent at its next opening (measured).
      if (over || !port.isOpen)
        return refuse('port_not_open', 'path', `${name} is not open; nothing was sent.`);
      if (port.writableLength > mostUnsentBytes) {
        return refuse(
          'port_congested',
          'path',
          `${name} does not take what was sent before; nothing was sent.`,
        );
      }
      port.write(Buffer.from(bytes));
      return ok(undefined);
    },
    close,
  };
}

/** Sets DTR and RTS where the profile asks for it; hardware without modem lines (a pseudo-terminal) is no fault. */
async function setModemLines(port: SerialPort, settings: SerialSettings): Promise<void> {
  const lines = settings.modem_lines;
  if (lines === undefined) return;
  await new Promise<void>((resolve) => port.set({ dtr: lines.dtr, rts: lines.rts }, () => resolve()));
}

/** The device behind a path, or undefined when nothing is there. Windows names (`COM10`) are no files. */
async function findTarget(path: string): Promise<string | undefined> {
  if (process.platform === 'win32') return path;
  try {
    const target = await realpath(path);
    await stat(target);
    return target;
  } catch {
    return undefined;
  }
}

function textOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
