import { between, gaussian, type Random } from '../random.ts';
import type { ScaleAction } from '../scale-action.ts';

/** How a scale behaves. Masses in grams, times in seconds. */
export interface ScaleSettings {
  readonly resolutionGrams: number;
  readonly capacityGrams: number;
  /** First-order settling: after this time 63 % of a step is shown. */
  readonly timeConstantSeconds: number;
  /** Standard deviation of the noise of one displayed value. */
  readonly noiseGrams: number;
  /** The scale calls itself stable when it has stayed within this many steps of resolution ... */
  readonly steadySteps: number;
  /** ... for this long. */
  readonly steadySeconds: number;
  readonly dishGrams: number;
}

export const usualScale: ScaleSettings = {
  resolutionGrams: 0.01,
  capacityGrams: 3200,
  timeConstantSeconds: 0.18,
  noiseGrams: 0.003,
  steadySteps: 2,
  steadySeconds: 0.5,
  dishGrams: 41.87,
};

/** Grease on its way into the dish. */
interface Flow {
  readonly remainingGrams: number;
  readonly gramsPerSecond: number;
}

export interface ScaleState {
  readonly dishGrams: number;
  readonly contentGrams: number;
  readonly otherGrams: number;
  readonly flows: readonly Flow[];
  /** Automatic dispensing: squeezes until this content is reached, with pauses. */
  readonly dispensing: { readonly targetGrams: number; readonly pauseSeconds: number } | null;
  /** What the load cell has settled to so far. */
  readonly settledGrams: number;
  readonly zeroGrams: number;
  readonly tareGrams: number;
  /** Tare waits for rest, as it does on a real scale. */
  readonly tarePending: boolean;
  readonly shownGrams: number;
  readonly anchorGrams: number;
  readonly quietSeconds: number;
}

/** What a scale shows at one moment. Grams, net of its own tare, rounded to its resolution. */
export interface ScaleReading {
  readonly netGrams: number;
  readonly mode: 'gross' | 'net';
  readonly condition: 'stable' | 'unstable' | 'overload' | 'underload';
}

export const emptyScale: ScaleState = {
  dishGrams: 0,
  contentGrams: 0,
  otherGrams: 0,
  flows: [],
  dispensing: null,
  settledGrams: 0,
  zeroGrams: 0,
  tareGrams: 0,
  tarePending: false,
  shownGrams: 0,
  anchorGrams: 0,
  quietSeconds: 0,
};

/** Time over which a squeeze of the tube flows into the dish. */
const flowSeconds = 0.3;

/** What a hand does to the scale. */
export function actOnScale(
  state: ScaleState,
  action: ScaleAction,
  settings: ScaleSettings,
  random: Random,
): ScaleState {
  switch (action.kind) {
    case 'dish on':
      return {
        ...state,
        dishGrams: action.massGrams ?? settings.dishGrams,
        contentGrams: 0,
        flows: [],
        dispensing: null,
      };
    case 'dish off':
      return { ...state, dishGrams: 0, contentGrams: 0, flows: [], dispensing: null };
    case 'squeeze':
      return squeeze(state, action.massGrams ?? between(random, 0.3, 1.6));
    case 'dispense to':
      return {
        ...state,
        dispensing: { targetGrams: action.massGrams + (action.overshootGrams ?? 0), pauseSeconds: 0 },
      };
    case 'remove some': {
      const removed = Math.min(state.contentGrams, action.massGrams ?? between(random, 0.2, 0.7));
      return { ...state, contentGrams: state.contentGrams - removed, dispensing: null };
    }
    case 'put on':
      return { ...state, otherGrams: state.otherGrams + action.massGrams };
    case 'take off':
      return { ...state, otherGrams: 0 };
    case 'tare':
      return { ...state, tarePending: true };
    case 'zero':
      return { ...state, zeroGrams: state.settledGrams, tareGrams: 0, tarePending: false };
  }
}

/** The scale after some time. */
export function stepScale(
  state: ScaleState,
  seconds: number,
  settings: ScaleSettings,
  random: Random,
): ScaleState {
  const poured = pour(continueDispensing(state, seconds, random), seconds);
  const load = poured.dishGrams + poured.contentGrams + poured.otherGrams;
  const share = 1 - Math.exp(-seconds / settings.timeConstantSeconds);
  const settledGrams = poured.settledGrams + (load - poured.settledGrams) * share;
  const shownGrams = settledGrams + gaussian(random) * settings.noiseGrams;
  const quiet = Math.abs(shownGrams - poured.anchorGrams) <= settings.steadySteps * settings.resolutionGrams;
  const next: ScaleState = {
    ...poured,
    settledGrams,
    shownGrams,
    anchorGrams: quiet ? poured.anchorGrams : shownGrams,
    quietSeconds: quiet ? poured.quietSeconds + seconds : 0,
  };
  if (!next.tarePending || !isSteady(next, settings)) return next;
  return { ...next, tareGrams: settledGrams - next.zeroGrams, tarePending: false };
}

/** What the display says. No value is shown above capacity plus nine steps (OIML R 76-1:2006, 4.2.3, from memory). */
export function readScale(state: ScaleState, settings: ScaleSettings): ScaleReading {
  const gross = state.shownGrams - state.zeroGrams;
  const steps = Math.round((gross - state.tareGrams) / settings.resolutionGrams);
  const mode = state.tareGrams === 0 ? 'gross' : 'net';
  const limit = 9 * settings.resolutionGrams;
  const condition =
    gross > settings.capacityGrams + limit
      ? 'overload'
      : gross < -settings.capacityGrams / 50
        ? 'underload'
        : isSteady(state, settings)
          ? 'stable'
          : 'unstable';
  // Adding zero turns minus zero into zero.
  return { netGrams: steps * settings.resolutionGrams + 0, mode, condition };
}

function isSteady(state: ScaleState, settings: ScaleSettings): boolean {
  return state.quietSeconds >= settings.steadySeconds;
}

function squeeze(state: ScaleState, massGrams: number): ScaleState {
  const flow = { remainingGrams: massGrams, gramsPerSecond: massGrams / flowSeconds };
  return { ...state, flows: [...state.flows, flow] };
}

function pour(state: ScaleState, seconds: number): ScaleState {
  if (state.flows.length === 0) return state;
  let contentGrams = state.contentGrams;
  const flows: Flow[] = [];
  for (const flow of state.flows) {
    const part = Math.min(flow.remainingGrams, flow.gramsPerSecond * seconds);
    contentGrams += part;
    const remainingGrams = flow.remainingGrams - part;
    if (remainingGrams > 1e-9) flows.push({ ...flow, remainingGrams });
  }
  return { ...state, contentGrams, flows };
}

/** A careful hand: each squeeze gives a part of what is missing, the last one the rest. */
function continueDispensing(state: ScaleState, seconds: number, random: Random): ScaleState {
  const plan = state.dispensing;
  if (plan === null || state.flows.length > 0) return state;
  const missing = plan.targetGrams - state.contentGrams;
  if (missing <= 1e-6) return { ...state, dispensing: null };
  if (plan.pauseSeconds > seconds) {
    return { ...state, dispensing: { ...plan, pauseSeconds: plan.pauseSeconds - seconds } };
  }
  const massGrams = missing < 0.25 ? missing : missing * between(random, 0.35, 0.65);
  const next = squeeze(state, massGrams);
  return { ...next, dispensing: { ...plan, pauseSeconds: between(random, 0.2, 0.5) } };
}
