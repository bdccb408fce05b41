import { ok } from '../../shared/result.ts';
import type { BytePort } from './byte-port.ts';
import type { Clock } from './clock.ts';
import type { PathClaims } from './path-claims.ts';
import type { LinkListeners, LinkOutcome } from './port-link.ts';
import { createReconnectingPort } from './reconnecting-port.ts';
import type { Recording } from './recording.ts';

export interface ReplayPortOptions {
  readonly recording: Recording;
  /** Name of the recording; the path of the port. */
  readonly name: string;
  readonly clock: Clock;
  /** 1 plays in real time, 10 ten times as fast, Infinity as fast as it can be read. Default 1. */
  readonly speed?: number;
  readonly claims?: PathClaims;
}

/**
 * Plays a recording as an instrument. Where the recorded port was lost this one is lost too, and goes on when it is
 * open again; at the end it closes. What is written to it goes nowhere.
 */
export function createReplayPort(options: ReplayPortOptions): BytePort {
  const { recording, name, clock, claims } = options;
  const speed = options.speed ?? 1;
  let position = 0;
  /** Time of the recording that has been played, in milliseconds. */
  let played = 0;

  function play(listeners: LinkListeners): LinkOutcome {
    let timer: NodeJS.Timeout | undefined;
    let immediate: NodeJS.Immediate | undefined;
    let over = false;

    function schedule(): void {
      if (over) return;
      const next = recording.entries[position];
      if (next === undefined) {
        over = true;
        listeners.onEnded();
        return;
      }
      const pause = (next.atMilliseconds - played) / speed;
      if (pause >= 1) timer = setTimeout(deliver, pause);
      else immediate = setImmediate(deliver);
    }
    function deliver(): void {
      const entry = recording.entries[position];
      if (over || entry === undefined) return;
      position += 1;
      played = entry.atMilliseconds;
      if ('bytes' in entry) listeners.onBytes(Uint8Array.from(Buffer.from(entry.bytes, 'base64')));
      else if (entry.event === 'lost') {
        over = true;
        listeners.onLost('recorded_loss', `${name}: the connection was lost here.`);
      }
      schedule();
    }

    return {
      ok: true,
      link: {
        start: schedule,
        write: () => ok(undefined),
        close() {
          over = true;
          clearTimeout(timer);
          clearImmediate(immediate);
          return Promise.resolve();
        },
      },
    };
  }

  return createReconnectingPort({
    kind: 'replay',
    path: name,
    clock,
    ...(claims === undefined ? {} : { claims }),
    openLink: () => (listeners) => {
      // Opened again from the start after its end.
      if (position >= recording.entries.length) {
        position = 0;
        played = 0;
      }
      return Promise.resolve(play(listeners));
    },
  });
}
