import type { BytePort } from './byte-port.ts';
import type { Clock } from './clock.ts';
import type { PathClaims } from './path-claims.ts';
import { createReconnectingPort } from './reconnecting-port.ts';
import { openSerialLink } from './serial-link.ts';
import type { SerialSettings } from './serial-settings.ts';

export interface SerialPortOptions {
  /** Path of the device, or a stable link to it such as those in `/dev/serial/by-id`. */
  readonly path: string;
  readonly settings: SerialSettings;
  readonly clock: Clock;
  /**
   * Where the device is at this moment, asked before each attempt; for devices whose path changes when they are
   * plugged in again. Default: always `path`.
   */
  readonly locate?: () => Promise<string | undefined>;
  readonly claims?: PathClaims;
}

/** A serial port. */
export function createSerialPort(options: SerialPortOptions): BytePort {
  const { path, settings, clock, claims } = options;
  const locate = options.locate ?? (() => Promise.resolve(path));
  return createReconnectingPort({
    kind: 'serial',
    path,
    clock,
    ...(claims === undefined ? {} : { claims }),
    openLink: (claim) => async (listeners) => {
      const present = await locate().catch(() => undefined);
      return openSerialLink(present, path, settings, claim, listeners);
    },
  });
}
