import { access, constants } from 'node:fs/promises';
import { ok, refuse } from '../../shared/result.ts';
import type { BytePort, LossReason, OpenFailure } from './byte-port.ts';
import type { Clock } from './clock.ts';
import { type HidLack, hidLackSentence, lackOfHid } from './hid-devices.ts';
import type { PathClaim, PathClaims } from './path-claims.ts';
import type { LinkListeners, LinkOutcome, PortLink } from './port-link.ts';
import { createReconnectingPort } from './reconnecting-port.ts';

/** What we need of an open HID device; `node-hid`'s HIDAsync has this shape. */
export interface HidDevice {
  on(event: 'data', listener: (report: Uint8Array) => void): unknown;
  on(event: 'error', listener: (error: Error) => void): unknown;
  write(report: number[]): Promise<unknown>;
  close(): Promise<unknown>;
}

/** Opens a HID device by its path. Rejects with the system's error. */
export type OpenHidDevice = (path: string) => Promise<HidDevice>;

/** Opens through `node-hid`, loaded when first needed. */
export const openSystemHidDevice: OpenHidDevice = async (path) => {
  const { HIDAsync } = await import('node-hid');
  return HIDAsync.open(path);
};

export interface HidPortOptions {
  readonly path: string;
  readonly clock: Clock;
  /** Where the device is at this moment; HID paths change when the device is plugged in again. Default: `path`. */
  readonly locate?: () => Promise<string | undefined>;
  readonly openDevice?: OpenHidDevice;
  /** Why devices cannot be looked for, asked where `locate` finds none. Default: what the system says. */
  readonly lack?: () => Promise<HidLack | null>;
  readonly claims?: PathClaims;
}

/** A HID device as a port: one input report is one chunk, with its report id where the system delivers it. */
export function createHidPort(options: HidPortOptions): BytePort {
  const { path, clock, claims } = options;
  const locate = options.locate ?? (() => Promise.resolve(path));
  const openDevice = options.openDevice ?? openSystemHidDevice;
  const lack = options.lack ?? lackOfHid;
  return createReconnectingPort({
    kind: 'hid',
    path,
    clock,
    ...(claims === undefined ? {} : { claims }),
    openLink: (claim) => async (listeners) => {
      const present = await locate().catch(() => undefined);
      const lacking = present === undefined ? await lack() : null;
      if (lacking !== null)
        return { ok: false, failure: { kind: 'failed', message: hidLackSentence(lacking) } };
      return openHidLink(present, path, openDevice, claim, listeners);
    },
  });
}

async function openHidLink(
  path: string | undefined,
  name: string,
  openDevice: OpenHidDevice,
  claim: PathClaim,
  listeners: LinkListeners,
): Promise<LinkOutcome> {
  if (path === undefined)
    return { ok: false, failure: { kind: 'missing', message: `${name} is not there.` } };
  const claimed = claim.setTarget(path);
  if (!claimed.ok) return { ok: false, failure: { kind: 'busy', message: claimed.error.message } };
  try {
    return { ok: true, link: linkTo(await openDevice(path), name, listeners) };
  } catch (error) {
    claim.setTarget(undefined);
    return { ok: false, failure: await explainFailure(path, name, error) };
  }
}

function linkTo(device: HidDevice, name: string, listeners: LinkListeners): PortLink {
  let over = false;
  let closed: Promise<void> | undefined;
  function lose(reason: LossReason, message: string): void {
    if (over) return;
    over = true;
    listeners.onLost(reason, message);
  }
  device.on('error', (error) => lose('unplugged', `${name}: ${error.message}`));
  return {
    start() {
      device.on('data', (report) => {
        if (!over) listeners.onBytes(Uint8Array.from(report));
      });
    },
    write(bytes) {
      if (over) return refuse('port_not_open', 'path', `${name} is not open; nothing was sent.`);
      device.write([...bytes]).catch((error: Error) => lose('read_failed', `${name}: ${error.message}`));
      return ok(undefined);
    },
    close() {
      over = true;
      closed ??= device.close().then(
        () => undefined,
        () => undefined,
      );
      return closed;
    },
  };
}

/** The HID library says "cannot open device" for everything, so the path itself is asked. */
async function explainFailure(path: string, name: string, error: unknown): Promise<OpenFailure> {
  const said = error instanceof Error ? error.message : String(error);
  if (!path.startsWith('/dev/')) return { kind: 'failed', message: `${name} cannot be opened: ${said}.` };
  const may = (mode: number) =>
    access(path, mode).then(
      () => true,
      () => false,
    );
  if (!(await may(constants.F_OK))) return { kind: 'missing', message: `${name} is not there.` };
  if (!(await may(constants.R_OK | constants.W_OK))) {
    return {
      kind: 'denied',
      message: `This user may not open ${name}.`,
      remedy:
        'Add a udev rule that gives this user the device, for example: KERNEL=="hidraw*", GROUP="plugdev", MODE="0660"; then plug it in again.',
    };
  }
  return { kind: 'failed', message: `${name} cannot be opened: ${said}.` };
}
