import type { CallParameters } from '../../../shared/contract.ts';
import { convert } from '../../../shared/quantity/conversion.ts';
import { toNumber } from '../../../shared/quantity/rational.ts';
import { unitSchema } from '../../../shared/quantity/unit.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import type { Simulator } from './instrument-source.ts';

export type SimulatedAction = CallParameters<'simulate'>['action'];

/** What a demo pull aims at when no torque step is in hand. */
const usualPullNewtonMetres = 27;
/** What a demo fill aims at when no mass step is in hand, and one squeeze past the target. */
const usualFillGrams = 18;
const pastTargetGrams = 0.4;
/** A pull that a careless hand lets go too early. */
const weakShare = 0.8;

/**
 * Moves a simulated instrument as a hand would.
 *
 * @param target what a pull aims at or a dish is filled to; the band's target where a measured step is in hand
 */
export function actOnSimulator(
  simulator: Simulator,
  action: SimulatedAction,
  target?: { readonly value: number; readonly unit: string },
): Result<null> {
  const body = simulator.kind === 'scale' ? simulator.scale : simulator.wrench;
  if (action === 'unplug' || action === 'replug') {
    body[action]();
    return ok(null);
  }
  if (simulator.kind === 'scale') {
    if (action === 'pull' || action === 'weak pull') return refuseFor('wrench');
    if (action === 'squeeze')
      simulator.scale.act({ kind: 'squeeze', massGrams: squeezeGrams(simulator, target) });
    else simulator.scale.act({ kind: action });
    return ok(null);
  }
  if (action !== 'pull' && action !== 'weak pull') return refuseFor('scale');
  const aim = inNewtonMetres(target) ?? usualPullNewtonMetres;
  void simulator.wrench.pull({
    targetNewtonMetres: action === 'pull' ? aim : aim * weakShare,
    scatter: 0.004,
  });
  return ok(null);
}

/** A hand that squeezes less the nearer it comes to the target, and too much once it is there. */
function squeezeGrams(
  { scale }: Extract<Simulator, { kind: 'scale' }>,
  target: { readonly value: number; readonly unit: string } | undefined,
): number {
  const missing = (inGrams(target) ?? usualFillGrams) - scale.state().contentGrams;
  if (missing > 0.6) return missing * 0.45;
  return missing > 0.1 ? missing : pastTargetGrams;
}

function inGrams(target: { readonly value: number; readonly unit: string } | undefined): number | null {
  const unit = unitSchema.safeParse(target?.unit);
  if (target === undefined || !unit.success) return null;
  const converted = convert(target.value, unit.data, 'g');
  return converted.ok ? toNumber(converted.value) : null;
}

function inNewtonMetres(
  target: { readonly value: number; readonly unit: string } | undefined,
): number | null {
  const unit = unitSchema.safeParse(target?.unit);
  if (target === undefined || !unit.success) return null;
  const converted = convert(target.value, unit.data, 'N.m');
  return converted.ok ? toNumber(converted.value) : null;
}

function refuseFor(kind: string): Result<never> {
  return refuse('wrong_instrument', 'action', `This is done with a ${kind}; choose one.`);
}
