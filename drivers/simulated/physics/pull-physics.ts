import { between, gaussian, type Random } from '../random.ts';

/** One pull of a wrench, as a hand makes it. Torque in newton metres, time in seconds, angle in degrees. */
export interface PullPlan {
  /** Highest torque of the pull; negative for a pull to the left. */
  readonly peakNewtonMetres: number;
  readonly riseSeconds: number;
  /** The hand stays at the peak for a moment before it lets go. */
  readonly holdSeconds: number;
  readonly releaseSeconds: number;
  /** How the torque rises: 1 straight, above 1 slow at first. */
  readonly shape: number;
  /** Angle turned when the peak is reached, from the first resistance. */
  readonly angleDegrees: number;
  /** Unsteadiness of the hand as a share of the torque at that moment. */
  readonly tremor: number;
}

/** What the wrench measures at one moment of a pull. */
export interface PullMoment {
  readonly torqueNewtonMetres: number;
  readonly angleDegrees: number;
  readonly phase: 'rising' | 'holding' | 'releasing' | 'over';
}

/** A pull to a known peak. */
export function planPull(peakNewtonMetres: number, random: Random): PullPlan {
  return {
    peakNewtonMetres,
    riseSeconds: between(random, 1.0, 1.6),
    holdSeconds: between(random, 0.12, 0.2),
    releaseSeconds: between(random, 0.18, 0.3),
    shape: between(random, 1.1, 1.6),
    angleDegrees: between(random, 28, 46),
    tremor: between(random, 0.003, 0.01),
  };
}

/**
 * The peak a hand reaches when it aims at a torque.
 *
 * @param scatter standard deviation as a share of the target, for example 0.02
 */
export function aimPull(targetNewtonMetres: number, scatter: number, random: Random): number {
  return targetNewtonMetres * (1 + scatter * gaussian(random));
}

/** The wrench at a time after the pull began. The highest torque of the whole pull is exactly the planned peak. */
export function momentOfPull(plan: PullPlan, seconds: number, random: Random): PullMoment {
  const { peakNewtonMetres: peak, riseSeconds, holdSeconds, releaseSeconds } = plan;
  if (seconds < riseSeconds) {
    const share = (seconds / riseSeconds) ** plan.shape;
    const shaken = share * (1 + plan.tremor * gaussian(random));
    return {
      torqueNewtonMetres: peak * Math.min(0.995, Math.max(0, shaken)),
      angleDegrees: plan.angleDegrees * (seconds / riseSeconds),
      phase: 'rising',
    };
  }
  if (seconds < riseSeconds + holdSeconds) {
    return { torqueNewtonMetres: peak, angleDegrees: plan.angleDegrees, phase: 'holding' };
  }
  const after = seconds - riseSeconds - holdSeconds;
  if (after < releaseSeconds) {
    return {
      torqueNewtonMetres: peak * (1 - after / releaseSeconds),
      angleDegrees: plan.angleDegrees,
      phase: 'releasing',
    };
  }
  return { torqueNewtonMetres: 0, angleDegrees: plan.angleDegrees, phase: 'over' };
}
