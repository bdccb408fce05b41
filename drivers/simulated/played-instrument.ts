import type { Clock } from '../port/clock.ts';
import type { InstrumentLine } from '../port/instrument-line.ts';
import type { Recording } from '../port/recording.ts';
import { createReplayPort } from '../port/replay-port.ts';

export interface PlayedInstrument {
  /** Resolves at the end of the recording, or when it was stopped. */
  readonly ended: Promise<PlayedBytes>;
  stop(): void;
}

export interface PlayedBytes {
  readonly sentBytes: number;
  /** Bytes that nobody read in time; an instrument waits for no reader. */
  readonly lostBytes: number;
}

/** What was sent just before a loss, or before the end, is read before the cable is pulled. */
const lastReadMilliseconds = 60;

/**
 * Plays a recording into a line, with its times: whoever opens the far end reads an instrument. Where the recorded
 * port was lost the cable is pulled, and put back when the recording goes on.
 */
export function playRecording(
  recording: Recording,
  line: InstrumentLine,
  clock: Clock,
  speed: number,
): PlayedInstrument {
  const port = createReplayPort({ recording, name: `recording for ${line.path}`, clock, speed });
  let sentBytes = 0;
  let lostBytes = 0;
  let pulling: NodeJS.Timeout | undefined;

  port.onBytes((chunk) => {
    const taken = line.send(chunk);
    sentBytes += taken;
    lostBytes += chunk.length - taken;
  });
  const ended = new Promise<PlayedBytes>((done) => {
    port.onState((state) => {
      clearTimeout(pulling);
      if (state.kind === 'open') line.replug();
      else if (state.kind === 'lost') pulling = setTimeout(line.unplug, lastReadMilliseconds);
      else if (state.kind === 'closed')
        setTimeout(() => done({ sentBytes, lostBytes }), lastReadMilliseconds);
    });
  });
  port.open();
  return { ended, stop: () => void port.close() };
}
