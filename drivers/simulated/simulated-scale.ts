import {
  actOnScale,
  emptyScale,
  readScale,
  type ScaleReading,
  type ScaleSettings,
  stepScale,
  usualScale,
} from './physics/scale-physics.ts';
import { createRandom } from './random.ts';
import { splitRequests } from './request-splitter.ts';
import { type ScaleAction, type ScaleUnit, scaleActionSchema } from './scale-action.ts';
import { type SimulatedScaleProfile, scaleShapes } from './scale-shapes.ts';
import { runSimulation, type SimulatedInstrument, type SimulationOptions } from './simulated-instrument.ts';

export interface SimulatedScaleOptions extends SimulationOptions {
  readonly profileName: SimulatedScaleProfile;
  /** Unit of the display. Default g. */
  readonly unit?: ScaleUnit;
  /** Lines a second of a continuous scale. Default 10. */
  readonly linesPerSecond?: number;
  /** Differences from the usual bench scale. */
  readonly settings?: Partial<ScaleSettings>;
}

/** What the hand and the scale are at. Grams. */
export interface SimulatedScaleState extends ScaleReading {
  readonly dishGrams: number;
  /** True mass in the dish. */
  readonly contentGrams: number;
  /** True while grease flows or automatic dispensing goes on. */
  readonly dispensing: boolean;
}

export interface SimulatedScale extends SimulatedInstrument {
  readonly profileName: SimulatedScaleProfile;
  act(action: ScaleAction): void;
  state(): SimulatedScaleState;
}

/** How long a scale waits for rest before it answers a request for a stable value with "not now". */
const stableAnswerSeconds = 3;

/**
 * Starts a bench scale that speaks through a pseudo-terminal: a pan, a dish, and a hand with a grease tube.
 * Everything random comes from the seed.
 */
export function startSimulatedScale(options: SimulatedScaleOptions): SimulatedScale {
  const random = createRandom(options.seed);
  const settings: ScaleSettings = { ...usualScale, ...options.settings };
  const shape = scaleShapes[options.profileName];
  const unit = options.unit ?? 'g';
  const pause = 1 / (options.linesPerSecond ?? 10);
  let state = emptyScale;
  let sinceLine = 0;
  /** Seconds for which a request for a stable value has waited. */
  let waiting: number | undefined;
  const requests = splitRequests(answer);

  const { instrument, faulty } = runSimulation(
    options.profileName,
    options,
    random,
    step,
    (chunk) => shape.understand !== undefined && requests(chunk),
  );

  function step(seconds: number): void {
    state = stepScale(state, seconds, settings, random);
    if (shape.mode === 'continuous') {
      sinceLine += seconds;
      if (sinceLine < pause) return;
      sinceLine %= pause;
      sendReading(readScale(state, settings));
    } else if (waiting !== undefined) {
      waiting += seconds;
      const reading = readScale(state, settings);
      if (reading.condition !== 'unstable') {
        waiting = undefined;
        sendReading(reading);
      } else if (waiting >= stableAnswerSeconds) {
        waiting = undefined;
        faulty.sendLine(shape.busy ?? '');
      }
    }
  }

  function sendReading(reading: ScaleReading): void {
    faulty.sendLine(shape.encode(reading, unit, faulty.unitText));
  }

  function answer(request: string): void {
    const wish = shape.understand?.(request);
    switch (wish) {
      case 'stable value':
        waiting ??= 0;
        return;
      case 'value':
        sendReading(readScale(state, settings));
        return;
      case 'tare':
      case 'zero':
        act({ kind: wish });
        faulty.sendLine(shape.done?.[wish] ?? '');
        return;
      case undefined:
        faulty.sendLine(shape.notUnderstood ?? '');
        return;
    }
  }

  function act(action: ScaleAction): void {
    state = actOnScale(state, scaleActionSchema.parse(action), settings, random);
  }

  return {
    path: instrument.path,
    get plugged() {
      return instrument.plugged;
    },
    createPort: instrument.createPort,
    unplug: instrument.unplug,
    replug: instrument.replug,
    beginFault: instrument.beginFault,
    stop: instrument.stop,
    profileName: options.profileName,
    act,
    state: () => ({
      ...readScale(state, settings),
      dishGrams: state.dishGrams,
      contentGrams: state.contentGrams,
      dispensing: state.dispensing !== null || state.flows.length > 0,
    }),
  };
}
