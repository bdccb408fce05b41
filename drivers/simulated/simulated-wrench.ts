import { z } from 'zod';
import type { TorqueUnit } from '../../shared/quantity/unit.ts';
import { aimPull, momentOfPull, type PullMoment, type PullPlan, planPull } from './physics/pull-physics.ts';
import { createRandom } from './random.ts';
import { runSimulation, type SimulatedInstrument, type SimulationOptions } from './simulated-instrument.ts';
import {
  activeFromNewtonMetres,
  type SimulatedWrenchProfile,
  type WrenchPeak,
  wrenchShapes,
} from './wrench-shapes.ts';

export interface SimulatedWrenchOptions extends SimulationOptions {
  readonly profileName: SimulatedWrenchProfile;
  /** Unit of the wrench's display. Default N.m. */
  readonly unit?: TorqueUnit;
  /** Samples a second of a streaming wrench. Default by shape. */
  readonly samplesPerSecond?: number;
}

/** A pull by hand: to a known peak, or aimed at a torque with scatter (standard deviation as a share of it). */
export const pullActionSchema = z.union([
  z.strictObject({ peakNewtonMetres: z.number().min(-1000).max(1000) }),
  z.strictObject({
    targetNewtonMetres: z.number().min(-1000).max(1000),
    scatter: z.number().min(0).max(0.5).default(0.01),
  }),
]);
export type PullAction = z.input<typeof pullActionSchema>;

export interface SimulatedWrenchState {
  readonly pulling: boolean;
  readonly torqueNewtonMetres: number;
  /** Pulls since the wrench was switched on. */
  readonly pulls: number;
}

export interface SimulatedWrench extends SimulatedInstrument {
  readonly profileName: SimulatedWrenchProfile;
  /**
   * Makes one pull. Resolves with its true peak once it is over and its last line is sent.
   * A pull that is asked for during another one begins after it.
   */
  pull(action: PullAction): Promise<{ readonly peakNewtonMetres: number }>;
  state(): SimulatedWrenchState;
}

interface PullUnderWay {
  readonly plan: PullPlan;
  readonly targetNewtonMetres: number;
  readonly seconds: number;
  readonly sinceSample: number;
  readonly announced: boolean;
  readonly done: (result: { readonly peakNewtonMetres: number }) => void;
}

/** Seconds between two battery messages of a wrench that sends them. */
const batterySeconds = 30;

/** Starts a digital torque wrench that speaks through a pseudo-terminal. Everything random comes from the seed. */
export function startSimulatedWrench(options: SimulatedWrenchOptions): SimulatedWrench {
  const random = createRandom(options.seed);
  const shape = wrenchShapes[options.profileName];
  const unit = options.unit ?? 'N.m';
  if (!shape.units.includes(unit)) throw new RangeError(`${options.profileName} cannot show ${unit}`);
  const pause = 1 / Math.max(1, options.samplesPerSecond ?? shape.samplesPerSecond);
  const queue: PullUnderWay[] = [];
  let current: PullUnderWay | undefined;
  let pulls = 0;
  let torqueNewtonMetres = 0;
  let sinceIdleSample = 0;
  let sinceBattery = 0;

  const { instrument, faulty } = runSimulation(options.profileName, options, random, step, () => undefined);

  function step(seconds: number): void {
    if (current === undefined) idle(seconds);
    current ??= queue.shift();
    if (current !== undefined) current = advance(current, seconds);
  }

  function idle(seconds: number): void {
    sinceBattery += seconds;
    if (shape.battery !== undefined && sinceBattery >= batterySeconds) {
      sinceBattery = 0;
      faulty.sendLine(shape.battery(87));
    }
    if (!shape.streamsAlways) return;
    sinceIdleSample += seconds;
    if (sinceIdleSample < pause) return;
    sinceIdleSample %= pause;
    sendSample({ torqueNewtonMetres: 0, angleDegrees: 0 });
  }

  function advance(pull: PullUnderWay, seconds: number): PullUnderWay | undefined {
    const elapsed = pull.seconds + seconds;
    const moment = momentOfPull(pull.plan, elapsed, random);
    torqueNewtonMetres = moment.torqueNewtonMetres;
    if (moment.phase === 'over') {
      finish(pull, moment);
      return undefined;
    }
    const active = Math.abs(moment.torqueNewtonMetres) >= activeFromNewtonMetres;
    if (active && !pull.announced && shape.begin !== undefined) {
      faulty.sendLine(shape.begin(pull.targetNewtonMetres, unit, faulty.unitText));
    }
    const sinceSample = pull.sinceSample + seconds;
    const due = sinceSample >= pause && shape.samplesPerSecond > 0 && (active || shape.streamsAlways);
    if (due) sendSample(moment);
    return {
      ...pull,
      seconds: elapsed,
      sinceSample: due ? sinceSample % pause : sinceSample,
      announced: pull.announced || active,
    };
  }

  function sendSample(sample: Pick<PullMoment, 'torqueNewtonMetres' | 'angleDegrees'>): void {
    if (shape.sample !== undefined) faulty.sendLine(shape.sample(sample, unit, faulty.unitText));
  }

  function finish(pull: PullUnderWay, moment: PullMoment): void {
    pulls += 1;
    const peak: WrenchPeak = {
      torqueNewtonMetres: pull.plan.peakNewtonMetres,
      angleDegrees: moment.angleDegrees,
      number: pulls,
      stamp: options.clock.wallTime().slice(0, 19),
      judgement: judge(pull.plan.peakNewtonMetres, pull.targetNewtonMetres),
    };
    const text = shape.peak?.(peak, unit, faulty.unitText);
    if (text !== undefined) {
      faulty.sendLine(text);
      faulty.rememberPeak(text);
    }
    pull.done({ peakNewtonMetres: pull.plan.peakNewtonMetres });
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
    pull(action) {
      const wish = pullActionSchema.parse(action);
      const target = 'targetNewtonMetres' in wish ? wish.targetNewtonMetres : wish.peakNewtonMetres;
      const peak = 'peakNewtonMetres' in wish ? wish.peakNewtonMetres : aimPull(target, wish.scatter, random);
      return new Promise((done) => {
        queue.push({
          plan: planPull(peak, random),
          targetNewtonMetres: target,
          seconds: 0,
          sinceSample: 0,
          announced: false,
          done,
        });
      });
    },
    state: () => ({ pulling: current !== undefined || queue.length > 0, torqueNewtonMetres, pulls }),
  };
}

/** The wrench's own judgement against its set-point, four per cent either way. The station does not use it. */
function judge(peakNewtonMetres: number, targetNewtonMetres: number): WrenchPeak['judgement'] {
  const share = peakNewtonMetres / targetNewtonMetres;
  if (share < 0.96) return 'low';
  return share > 1.04 ? 'high' : 'good';
}
