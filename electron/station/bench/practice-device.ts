import { randomUUID } from 'node:crypto';
import type { BytePort } from '../../../drivers/port/byte-port.ts';
import type { Clock } from '../../../drivers/port/clock.ts';
import { createInProcessLine } from '../../../drivers/port/in-process-port.ts';
import type { InstrumentLine } from '../../../drivers/port/instrument-line.ts';
import type { SerialSettings } from '../../../drivers/port/serial-settings.ts';
import { hasPseudoTerminals } from '../../../drivers/simulated/native-pty.ts';
import { createPseudoTerminal } from '../../../drivers/simulated/pseudo-terminal.ts';
import { type SimulatedScale, startSimulatedScale } from '../../../drivers/simulated/simulated-scale.ts';
import type { PracticeView } from '../../../shared/teach-view.ts';

/** The name of its port; no path of a system looks like this. */
export const practicePortId = 'practice-device';

/**
 * A simulated scale of the demo workshop that no built-in profile reads and that is not in the register, so that
 * teaching can be tried. It starts when its port is first asked for.
 */
export class PracticeDevice {
  readonly #clock: Clock;
  readonly #seed: number;
  #scale: SimulatedScale | undefined;
  /** A display shows what was last sent. */
  #shown: PracticeView | null = null;

  constructor(clock: Clock, seed: number) {
    this.#clock = clock;
    this.#seed = seed;
  }

  get scale(): SimulatedScale {
    this.#scale ??= startSimulatedScale({
      profileName: 'scale-comma-header',
      clock: this.#clock,
      seed: this.#seed,
      line: inOtherWords(createLine(), (shown) => {
        this.#shown = shown;
      }),
    });
    return this.#scale;
  }

  /** The path that its port is opened under at the moment; undefined while it does not run. */
  get path(): string | undefined {
    return this.#scale?.path;
  }

  createPort(settings: SerialSettings): BytePort {
    return this.scale.createPort(settings);
  }

  /** What its display shows; null while it does not run. */
  display(): PracticeView | null {
    return this.#scale === undefined ? null : this.#shown;
  }

  stop(): void {
    this.#scale?.stop();
    this.#scale = undefined;
  }
}

function createLine(): InstrumentLine {
  return hasPseudoTerminals()
    ? createPseudoTerminal(practicePortId)
    : createInProcessLine(`${practicePortId} ${randomUUID()}`);
}

/** The same line, but what the scale sends is said in a shape that is none of ours: `LOAD     12.34 g rest`. */
function inOtherWords(line: InstrumentLine, onShown: (shown: PracticeView) => void): InstrumentLine {
  return {
    path: line.path,
    get plugged() {
      return line.plugged;
    },
    send(bytes) {
      const shown = readLine(Buffer.from(bytes).toString('latin1'));
      if (shown === null) return line.send(bytes);
      onShown(shown);
      const word = shown.state === 'stable' ? 'rest' : 'move';
      return line.send(Buffer.from(`LOAD ${shown.text.padStart(10)} ${shown.unit} ${word}\r\n`, 'latin1'));
    },
    onBytes: (listener) => line.onBytes(listener),
    unplug: () => line.unplug(),
    replug: () => line.replug(),
    createPort: (settings, clock, claims) => line.createPort(settings, clock, claims),
    dispose: () => line.dispose(),
  };
}

function readLine(line: string): PracticeView | null {
  const [whole, state, sign, digits = ''] = /^(ST|US),\w\w,([+-]) *([\d.]+) ?g\r\n$/.exec(line) ?? [];
  if (whole === undefined) return null;
  const text = `${sign === '-' ? '-' : ''}${digits}`;
  return { text, unit: 'g', state: state === 'ST' ? 'stable' : 'unstable' };
}
