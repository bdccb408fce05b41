import { permissions } from '../people/permission.ts';
import type { Role } from '../people/role.ts';
import { quantityOf } from '../quantity/unit.ts';
import { ok, type Refusal, type RefusalValues, type Result, refuse } from '../result.ts';
import { parseWith } from '../schema-refusal.ts';
import { predecessorsOf, type ServiceSheet, serviceSheetSchema } from './sheet.ts';
import type { MassStep, Step, TorqueStep } from './step.ts';

/** Reads a sheet from a file or a message: shape first, then what only the whole tells. Names one bad field. */
export function readSheet(input: unknown): Result<ServiceSheet> {
  const shaped = parseWith(serviceSheetSchema, input);
  return shaped.ok ? checkSheet(shaped.value) : shaped;
}

/** Checks a sheet of the right shape: names, order, bands and interlocks. */
export function checkSheet(sheet: ServiceSheet): Result<ServiceSheet> {
  const fault =
    nameFault(sheet.steps) ??
    circleFault(sheet.steps) ??
    firstFault(sheet.steps, (step, field) => stepFault(step, field)) ??
    firstFault(sheet.steps, (step, field, index) => consumableFault(sheet.steps, step, field, index)) ??
    signOffFault(sheet.steps);
  return fault === null ? ok(sheet) : { ok: false, error: fault };
}

function refusal(code: string, field: string, message: string, values?: RefusalValues): Refusal {
  return refuse(code, field, message, values).error;
}

function firstFault(
  steps: readonly Step[],
  check: (step: Step, field: string, index: number) => Refusal | null,
): Refusal | null {
  for (const [index, step] of steps.entries()) {
    const fault = check(step, `steps[${index}]`, index);
    if (fault !== null) return fault;
  }
  return null;
}

function nameFault(steps: readonly Step[]): Refusal | null {
  const names = steps.map((step) => step.stepId);
  return firstFault(steps, ({ stepId, after }, field, index) => {
    if (names.indexOf(stepId) !== index) {
      return refusal('duplicate_step', `${field}.stepId`, `${stepId} names two steps; rename one.`, {
        name: stepId,
      });
    }
    for (const [place, name] of (after ?? []).entries()) {
      const at = `${field}.after[${place}]`;
      if (name === stepId)
        return refusal('circular_order', at, `${name} cannot come after itself; remove it.`, { name });
      if (!names.includes(name))
        return refusal('unknown_step', at, `There is no step ${name}; correct the name.`, { name });
    }
    return null;
  });
}

/** Every step that comes before the one at this place, directly or through others. */
export function stepsBefore(steps: readonly Step[], index: number): ReadonlySet<string> {
  const places = new Map(steps.map((step, place) => [step.stepId, place]));
  const reached = new Set<string>();
  const queue = [...predecessorsOf(steps, index)];
  for (let name = queue.pop(); name !== undefined; name = queue.pop()) {
    if (reached.has(name)) continue;
    reached.add(name);
    const place = places.get(name);
    if (place !== undefined) queue.push(...predecessorsOf(steps, place));
  }
  return reached;
}

function circleFault(steps: readonly Step[]): Refusal | null {
  return firstFault(steps, ({ stepId }, field, index) =>
    stepsBefore(steps, index).has(stepId)
      ? refusal('circular_order', `${field}.after`, `${stepId} would come after itself; break the circle.`, {
          name: stepId,
        })
      : null,
  );
}

function stepFault(step: Step, field: string): Refusal | null {
  switch (step.kind) {
    case 'caution':
      return step.cautions.length > 0
        ? null
        : refusal(
            'caution_missing',
            `${field}.cautions`,
            'A caution step names its hazards; give at least one.',
          );
    case 'check':
      return step.mandatory && step.onFail === 'note'
        ? refusal(
            'noted_check_mandatory',
            `${field}.onFail`,
            'A check whose no is only noted cannot be mandatory; let it stop, or make it optional.',
          )
        : null;
    case 'disposition': {
      const foreign = step.reasonRequiredFor.findIndex((choice) => !step.choices.includes(choice));
      return foreign < 0
        ? null
        : refusal(
            'reason_without_choice',
            `${field}.reasonRequiredFor[${foreign}]`,
            `${step.reasonRequiredFor[foreign]} is not among choices; add it there or remove it here.`,
            { choice: String(step.reasonRequiredFor[foreign]) },
          );
    }
    case 'mass':
      return measuredFault(step, field) ?? massFault(step, field);
    case 'torque':
      return measuredFault(step, field) ?? torqueFault(step, field);
    case 'numeric': {
      const { lower, upper } = step;
      return lower !== undefined && upper !== undefined && lower >= upper
        ? refusal(
            'inverted_limits',
            `${field}.lower`,
            `${lower} is not below ${upper}; correct the limits.`,
            {
              lower,
              upper,
            },
          )
        : null;
    }
    case 'signOff':
      return signerFault(step.mandatory, step.roles, field);
    default:
      return null;
  }
}

function measuredFault(step: MassStep | TorqueStep, field: string): Refusal | null {
  if (!step.mandatory) {
    return refusal(
      'measured_step_optional',
      `${field}.mandatory`,
      'A measured step is mandatory; set it to true.',
    );
  }
  return quantityOf(step.band.unit) === step.kind
    ? null
    : refusal(
        'wrong_unit',
        `${field}.band.unit`,
        `${step.band.unit} is no unit of ${step.kind}; choose one.`,
        { unit: step.band.unit, quantity: step.kind },
      );
}

function massFault(step: MassStep, field: string): Refusal | null {
  const needsStation = step.method === 'difference';
  if (needsStation && step.tare !== 'station') {
    return refusal(
      'tare_missing',
      `${field}.tare`,
      'Weighing by difference takes the first weighing: station.',
      { method: step.method },
    );
  }
  return step.method !== 'direct' && step.tare === 'none'
    ? refusal('tare_missing', `${field}.tare`, `Method ${step.method} takes a tare: instrument or station.`, {
        method: step.method,
      })
    : null;
}

function torqueFault(step: TorqueStep, field: string): Refusal | null {
  return step.finalPull === 'first after threshold' && step.pullThreshold === undefined
    ? refusal(
        'threshold_missing',
        `${field}.pullThreshold`,
        'The first pull after a threshold takes the threshold; give it.',
      )
    : null;
}

function signerFault(mandatory: boolean, roles: readonly Role[], field: string): Refusal | null {
  if (!mandatory) {
    return refusal('sign_off_optional', `${field}.mandatory`, 'A sign-off is mandatory; set it to true.');
  }
  const able: readonly Role[] = permissions.signOffStep;
  const unable = roles.findIndex((role) => !able.includes(role));
  return unable < 0
    ? null
    : refusal(
        'role_cannot_sign',
        `${field}.roles[${unable}]`,
        `Only ${able.join(' and ')} sign; remove this role.`,
        { role: String(roles[unable]) },
      );
}

function consumableFault(steps: readonly Step[], step: Step, field: string, index: number): Refusal | null {
  if (step.kind !== 'mass' || step.consumableId === undefined) return null;
  const before = stepsBefore(steps, index);
  const isNamed = steps.some(
    (other) =>
      other.kind === 'consumable' && other.consumableId === step.consumableId && before.has(other.stepId),
  );
  return isNamed
    ? null
    : refusal(
        'consumable_not_named',
        `${field}.consumableId`,
        `No consumable step before this one names ${step.consumableId}; add one, so that its lot is known.`,
        { consumableId: step.consumableId },
      );
}

/** Where anything is signed, the last signature covers the whole job. */
function signOffFault(steps: readonly Step[]): Refusal | null {
  const signOffs = [...steps.entries()].filter(([, step]) => step.kind === 'signOff');
  if (signOffs.length === 0) return null;
  const open = signOffs.map(([index]) => {
    const before = stepsBefore(steps, index);
    return steps.find((step) => step.mandatory && step.kind !== 'signOff' && !before.has(step.stepId));
  });
  if (open.includes(undefined)) return null;
  const [index] = signOffs.at(-1) ?? [0];
  return refusal(
    'sign_off_too_early',
    `steps[${index}].after`,
    `${open.at(-1)?.stepId} may still be open at the last sign-off; let the sign-off come after it.`,
    { stepId: open.at(-1)?.stepId ?? '' },
  );
}
