import { randomUUID } from 'node:crypto';
import type { BytePort } from '../port/byte-port.ts';
import type { Clock } from '../port/clock.ts';
import { createInProcessLine } from '../port/in-process-port.ts';
import type { InstrumentLine } from '../port/instrument-line.ts';
import type { SerialSettings } from '../port/serial-settings.ts';
import type { Fault } from './fault-script.ts';
import { createFaultyLine, type FaultyLine } from './faulty-line.ts';
import { hasPseudoTerminals } from './native-pty.ts';
import { createPseudoTerminal } from './pseudo-terminal.ts';
import type { Random } from './random.ts';

/** What every simulated instrument can do besides its trade. */
export interface SimulatedInstrument {
  /** Path of the station's end. It stays the same when the cable is pulled and put back. */
  readonly path: string;
  readonly plugged: boolean;
  /** The station's end as a port, closed at first. */
  createPort(settings: SerialSettings): BytePort;
  unplug(): void;
  replug(): void;
  /** Starts a fault now (its `atMilliseconds` is not looked at). */
  beginFault(fault: Fault): void;
  stop(): void;
}

/** What the simulators of scale and wrench have in common. */
export interface SimulationOptions {
  readonly clock: Clock;
  /** Seed of everything that is random in it. */
  readonly seed: number;
  readonly faults?: readonly Fault[];
  /** Default: a pseudo-terminal; where the platform has none, a line inside this process. */
  readonly line?: InstrumentLine;
}

export interface SimulationRun {
  readonly instrument: SimulatedInstrument;
  readonly faulty: FaultyLine;
}

function createLine(name: string): InstrumentLine {
  return hasPseudoTerminals() ? createPseudoTerminal(name) : createInProcessLine(`${name} ${randomUUID()}`);
}

/** Time between two steps of the physics, in milliseconds. */
const stepMilliseconds = 20;

/**
 * Runs a simulation against the clock: calls `step` about fifty times a second with the time that has passed,
 * and starts the faults of the script when their time comes.
 */
export function runSimulation(
  name: string,
  options: SimulationOptions,
  random: Random,
  step: (seconds: number) => void,
  onBytes: (chunk: Uint8Array) => void,
): SimulationRun {
  const line = options.line ?? createLine(name);
  const faulty = createFaultyLine(line, random, options.clock);
  const due = [...(options.faults ?? [])].sort((a, b) => a.atMilliseconds - b.atMilliseconds);
  const startedAt = options.clock.nowMilliseconds();
  let last = startedAt;

  const unsubscribe = line.onBytes(onBytes);
  const timer = setInterval(() => {
    const now = options.clock.nowMilliseconds();
    for (let next = due[0]; next !== undefined && next.atMilliseconds <= now - startedAt; next = due[0]) {
      due.shift();
      faulty.begin(next);
    }
    // A computer that was asleep must not make up for hours.
    step(Math.min(0.5, (now - last) / 1000));
    last = now;
  }, stepMilliseconds);

  return {
    faulty,
    instrument: {
      path: line.path,
      get plugged() {
        return line.plugged;
      },
      createPort: (settings) => line.createPort(settings, options.clock),
      unplug: faulty.unplug,
      replug: faulty.replug,
      beginFault: faulty.begin,
      stop() {
        clearInterval(timer);
        faulty.stop();
        unsubscribe();
        line.dispose();
      },
    },
  };
}
