import { convertNumber } from '../quantity/conversion.ts';
import type { Refusal } from '../result.ts';
import { type InstrumentMetrology, resolutionAt } from './metrology.ts';
import {
  classifyScale,
  maximumPermissibleErrorGrams,
  type ScaleClass,
  scaleClassSchema,
} from './scale-class.ts';
import { isStepFineEnough, proposedWrenchLimit, type WrenchLimit, wrenchTestPoints } from './wrench-class.ts';

/** What the class marked on a scale says of it; in grams. */
export interface ScaleFigures {
  readonly kind: 'scale';
  readonly accuracyClass: ScaleClass;
  /** Why it cannot be of that class; the other figures are null then. */
  readonly refusal: Refusal | null;
  /** Number of verification scale intervals. */
  readonly intervals: number | null;
  readonly minimumGrams: number | null;
  /** Maximum permissible error at the capacity, in service. */
  readonly permissibleAtMaximumGrams: number | null;
}

/** What the class of a wrench, and its permissible deviation in the register, say of it; in its unit. */
export interface WrenchFigures {
  readonly kind: 'wrench';
  /** Of the class marked on it, where that is one of the table; texts disagree, so it is a proposal. */
  readonly proposed: WrenchLimit | null;
  /** Where it is calibrated: 20, 60 and 100 % of its capacity. */
  readonly testPoints: readonly [number, number, number];
  /** Is its step fine enough at the first of them? Null where no relative deviation is known. */
  readonly isStepFineEnough: boolean | null;
}

/**
 * Figures of the class of an instrument. The finest digital step counts as verification scale interval e, since the
 * register keeps no other. Null for a scale without a class of OIML R 76-1.
 */
export function classFigures(
  metrology: InstrumentMetrology,
  accuracyClass: string | null,
): ScaleFigures | WrenchFigures | null {
  return metrology.quantity === 'mass'
    ? scaleFigures(metrology, accuracyClass)
    : wrenchFigures(metrology, accuracyClass);
}

function scaleFigures({ ranges, unit }: InstrumentMetrology, marked: string | null): ScaleFigures | null {
  const accuracyClass = scaleClassSchema.safeParse(marked);
  const [first] = ranges;
  const last = ranges.at(-1);
  if (!accuracyClass.success || first === undefined || last === undefined) return null;
  const scale = {
    accuracyClass: accuracyClass.data,
    intervalGrams: convertNumber(first.resolution, unit, 'g'),
    maximumGrams: convertNumber(last.upTo, unit, 'g'),
  };
  const classified = classifyScale(scale);
  const none = { intervals: null, minimumGrams: null, permissibleAtMaximumGrams: null };
  const common = { kind: 'scale', accuracyClass: scale.accuracyClass } as const;
  if (!classified.ok) return { ...common, ...none, refusal: classified.error };
  const permissible = maximumPermissibleErrorGrams(scale, scale.maximumGrams, 'in service');
  return {
    ...common,
    ...classified.value,
    refusal: permissible.ok ? null : permissible.error,
    permissibleAtMaximumGrams: permissible.ok ? permissible.value : null,
  };
}

function wrenchFigures(metrology: InstrumentMetrology, marked: string | null): WrenchFigures {
  const { ranges, unit, maximumPermissibleError: permissible } = metrology;
  const capacity = ranges.at(-1)?.upTo ?? 0;
  const testPoints = wrenchTestPoints(capacity);
  const step = resolutionAt(metrology, testPoints[0]);
  const [, type, wrenchClass = ''] = /^(II?)[ -]?([A-G])$/.exec(marked?.trim() ?? '') ?? [];
  return {
    kind: 'wrench',
    proposed:
      type === 'I' || type === 'II'
        ? proposedWrenchLimit(type, wrenchClass, convertNumber(capacity, unit, 'N.m'))
        : null,
    testPoints,
    isStepFineEnough:
      permissible?.kind === 'relative' && step !== null
        ? isStepFineEnough(step, testPoints[0], permissible.fraction * 100)
        : null,
  };
}
