import type { Step } from '../../../shared/sheet/step.ts';
import { makeSheet, makeStep } from '../../shared/job/workbench.ts';

const both = { en: 'One', de: 'Eins' };
const onePixel = {
  mediaType: 'image/png' as const,
  base64: 'iVBORw0KGgo=',
  description: both,
};
/** What a sheet may have besides, at one step of each measured kind. */
const steps = [
  { ...makeStep.caution('first'), cautions: [{ hazard: 'heat', text: both }] },
  {
    ...makeStep.mass('fill'),
    text: both,
    residueLossGrams: 0.2,
    buoyancy: {
      apply: true,
      materialDensityKilogramsPerCubicMetre: 900,
      airDensityKilogramsPerCubicMetre: 1.2,
    },
    picture: onePixel,
    after: [],
  },
  {
    ...makeStep.torque('tighten'),
    text: both,
    lever: { wrenchLength: 300, extension: 50, angleDegrees: 0, unit: 'mm', lengthsUncertainty: 1 },
    pullThreshold: { value: 3, unit: 'N.m' },
    direction: 'clockwise',
    after: ['fill'],
  },
  ...(['check', 'disposition', 'consumable', 'numeric', 'note', 'signOff'] as const).map((kind) =>
    makeStep[kind](kind),
  ),
];
/** A sheet with a step of every kind. */
export const furnished = makeSheet(steps as Step[]);

/** Paths of everything in a sheet, `steps.0.band` and `steps.0.band.upper`. */
export function placesIn(data: unknown, path = ''): string[] {
  if (typeof data !== 'object' || data === null) return [];
  return Object.entries(data).flatMap(([key, value]) => {
    const place = path === '' ? key : `${path}.${key}`;
    return [place, ...placesIn(value, place)];
  });
}
