import { ok, refuse } from '../../shared/result.ts';
import type { BytePort } from './byte-port.ts';
import type { Clock } from './clock.ts';
import { createListenerSet } from './listener-set.ts';
import type { PathClaims } from './path-claims.ts';
import type { LinkListeners } from './port-link.ts';
import { createReconnectingPort } from './reconnecting-port.ts';

/** A cable inside this process, for platforms without pseudo-terminals and for tests of what stands above ports. */
export interface InProcessCable {
  readonly name: string;
  readonly plugged: boolean;
  /** Sends to the station's end; lost when nobody has it open. Returns the number of bytes delivered. */
  send(bytes: Uint8Array): number;
  onBytes(listener: (chunk: Uint8Array) => void): () => void;
  unplug(): void;
  replug(): void;
  /** The station's end as a port. */
  createPort(clock: Clock, claims?: PathClaims): BytePort;
}

/** @param name becomes the path of the station's end */
export function createInProcessCable(name: string): InProcessCable {
  const listeners = createListenerSet<[Uint8Array]>();
  let plugged = true;
  let station: LinkListeners | undefined;
  let flowing = false;

  return {
    name,
    get plugged() {
      return plugged;
    },
    send(bytes) {
      if (!plugged || station === undefined || !flowing) return 0;
      station.onBytes(Uint8Array.from(bytes));
      return bytes.length;
    },
    onBytes: (listener) => listeners.add(listener),
    unplug() {
      plugged = false;
      const gone = station;
      station = undefined;
      flowing = false;
      gone?.onLost('unplugged', `${name}: the connection is gone.`);
    },
    replug() {
      plugged = true;
    },
    createPort: (clock, claims) =>
      createReconnectingPort({
        kind: 'in-process',
        path: name,
        clock,
        ...(claims === undefined ? {} : { claims }),
        openLink: () => async (linkListeners) => {
          if (!plugged) return { ok: false, failure: { kind: 'missing', message: `${name} is not there.` } };
          station = linkListeners;
          return {
            ok: true,
            link: {
              start() {
                if (station === linkListeners) flowing = true;
              },
              write(bytes) {
                if (station !== linkListeners) {
                  return refuse('port_not_open', 'path', `${name} is not open; nothing was sent.`);
                }
                const copy = Uint8Array.from(bytes);
                // Like a wire: the answer never comes before the call returns.
                queueMicrotask(() => listeners.tell(copy));
                return ok(undefined);
              },
              close() {
                if (station === linkListeners) {
                  station = undefined;
                  flowing = false;
                }
                return Promise.resolve();
              },
            },
          };
        },
      }),
  };
}
