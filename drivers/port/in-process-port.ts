import { ok, refuse } from '../../shared/result.ts';
import type { InstrumentLine } from './instrument-line.ts';
import { createListenerSet } from './listener-set.ts';
import type { LinkListeners } from './port-link.ts';
import { createReconnectingPort } from './reconnecting-port.ts';

/**
 * A cable inside this process, for platforms without pseudo-terminals and for tests of what stands above ports.
 *
 * @param name becomes the path of the station's end
 */
export function createInProcessLine(name: string): InstrumentLine {
  const listeners = createListenerSet<[Uint8Array]>();
  let plugged = true;
  let station: LinkListeners | undefined;
  let flowing = false;

  function unplug(): void {
    plugged = false;
    const gone = station;
    station = undefined;
    flowing = false;
    gone?.onLost('unplugged', `${name}: the connection is gone.`);
  }

  return {
    path: name,
    get plugged() {
      return plugged;
    },
    send(bytes) {
      if (!plugged || station === undefined || !flowing) return 0;
      station.onBytes(Uint8Array.from(bytes));
      return bytes.length;
    },
    onBytes: (listener) => listeners.add(listener),
    unplug,
    replug() {
      plugged = true;
    },
    dispose: unplug,
    createPort: (_settings, clock, claims) =>
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
