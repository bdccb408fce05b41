import { massUnits, torqueUnits } from '../../../shared/quantity/unit.ts';
import { hazards } from '../../../shared/sheet/caution.ts';
import { fillMethods, finalPullRules, partChoiceSchema, type StepKind } from '../../../shared/sheet/step.ts';
import type { Plain } from '../../state/sheet-draft.ts';
import type { ChoiceText } from '../../state/situation.ts';
import type { MessageKey } from '../../wording/english.ts';
import { unitName } from '../../wording/unit-name.ts';

interface Choice {
  readonly value: string;
  readonly label: ChoiceText;
}

/**
 * One field of the form of a sheet. `names`: short names with commas; `rule`: the kind of a decision rule; `group`:
 * fields that are there together or not at all.
 */
export interface SheetField {
  readonly path: string;
  readonly kind:
    | 'text'
    | 'localized'
    | 'number'
    | 'flag'
    | 'choice'
    | 'several'
    | 'names'
    | 'rule'
    | 'group'
    | 'picture';
  readonly label: MessageKey;
  /** For `group`: its fields, by paths from the step, and what stands there at first. */
  readonly fields?: readonly SheetField[];
  readonly initial?: Plain;
  readonly choices?: readonly Choice[];
  readonly optional?: boolean;
  /** For `number`: where its unit stands, by the path from the step. */
  readonly unitAt?: string;
}

const text = (path: string, label: MessageKey): SheetField => ({ path, kind: 'text', label });
const localized = (path: string, label: MessageKey, optional = false): SheetField => ({
  path,
  kind: 'localized',
  label,
  optional,
});
const number = (path: string, label: MessageKey, optional = false, unitAt?: string): SheetField => ({
  path,
  kind: 'number',
  label,
  optional,
  ...(unitAt === undefined ? {} : { unitAt }),
});
const flag = (path: string, label: MessageKey): SheetField => ({ path, kind: 'flag', label });
const choice = (
  path: string,
  label: MessageKey,
  choices: readonly Choice[],
  optional = false,
): SheetField => ({ path, kind: 'choice', label, choices, optional });

/** Fields of the sheet itself. */
export const sheetFields: readonly SheetField[] = [
  localized('title', 'sheetField.title'),
  localized('head.name', 'sheetField.headName'),
  localized('head.description', 'sheetField.headDescription', true),
  text('effectiveFrom', 'sheetField.effectiveFrom'),
  number('nextServiceMonths', 'sheetField.nextServiceMonths', true),
  localized('deferral', 'sheetField.deferral'),
];

const common: readonly SheetField[] = [
  text('stepId', 'sheetField.stepId'),
  flag('mandatory', 'sheetField.mandatory'),
  localized('title', 'sheetField.title'),
];
const picture: SheetField = {
  path: 'picture',
  kind: 'picture',
  label: 'sheetField.picture',
  optional: true,
};

const buoyancy: SheetField = {
  path: 'buoyancy',
  kind: 'group',
  label: 'sheetField.buoyancy',
  optional: true,
  initial: { apply: false },
  fields: [
    flag('buoyancy.apply', 'sheetField.buoyancyApply'),
    number('buoyancy.materialDensityKilogramsPerCubicMetre', 'sheetField.materialDensity'),
    number('buoyancy.airDensityKilogramsPerCubicMetre', 'sheetField.airDensity', true),
  ],
};

const lever: SheetField = {
  path: 'lever',
  kind: 'group',
  label: 'sheetField.lever',
  optional: true,
  initial: { angleDegrees: 0, unit: 'mm', lengthsUncertainty: 1 },
  fields: [
    choice(
      'lever.unit',
      'sheetField.leverUnit',
      (['mm', 'in'] as const).map((value) => ({ value, label: value })),
    ),
    number('lever.wrenchLength', 'sheetField.wrenchLength', false, 'lever.unit'),
    number('lever.extension', 'sheetField.extension', false, 'lever.unit'),
    number('lever.angleDegrees', 'sheetField.angleDegrees'),
    number('lever.lengthsUncertainty', 'sheetField.lengthsUncertainty', false, 'lever.unit'),
  ],
};

const order: SheetField = { path: 'after', kind: 'names', label: 'sheetField.after', optional: true };

function units(names: typeof massUnits | typeof torqueUnits): readonly Choice[] {
  return names.map((value) => ({ value, label: unitName(value) }));
}

const measured = (unitChoices: readonly Choice[]): readonly SheetField[] => [
  number('band.lower', 'sheetField.bandLower', true, 'band.unit'),
  number('band.target', 'sheetField.bandTarget', true, 'band.unit'),
  number('band.upper', 'sheetField.bandUpper', true, 'band.unit'),
  choice('band.unit', 'sheetField.bandUnit', unitChoices),
  { path: 'rule.kind', kind: 'rule', label: 'sheetField.rule' },
  number('maximumAttempts', 'sheetField.maximumAttempts'),
  flag('acceptConditionalPass', 'sheetField.acceptConditionalPass'),
];

const partChoices = partChoiceSchema.options.map((value) => ({
  value,
  label: { key: `step.disposition.${value}` } as const,
}));

const ofKind: Readonly<Record<StepKind, readonly SheetField[]>> = {
  caution: [localized('text', 'sheetField.text')],
  instruction: [localized('text', 'sheetField.text')],
  check: [
    localized('question', 'sheetField.question'),
    choice(
      'onFail',
      'sheetField.onFail',
      (['stop', 'note'] as const).map((value) => ({ value, label: { key: `sheetField.onFail.${value}` } })),
    ),
  ],
  disposition: [
    localized('part', 'sheetField.part'),
    { path: 'choices', kind: 'several', label: 'sheetField.choices', choices: partChoices },
    {
      path: 'reasonRequiredFor',
      kind: 'several',
      label: 'sheetField.reasonRequiredFor',
      choices: partChoices,
    },
  ],
  consumable: [
    text('consumableId', 'sheetField.consumableId'),
    localized('name', 'sheetField.name'),
    flag('lotRequired', 'sheetField.lotRequired'),
    number('quantity', 'sheetField.quantity', true),
  ],
  mass: [
    localized('text', 'sheetField.text', true),
    ...measured(units(massUnits)),
    choice(
      'method',
      'sheetField.method',
      fillMethods.map((value) => ({ value, label: { key: `sheetField.method.${value}` } })),
    ),
    choice(
      'tare',
      'sheetField.tare',
      (['none', 'instrument', 'station'] as const).map((value) => ({
        value,
        label: { key: `sheetField.tare.${value}` },
      })),
    ),
    number('residueLossGrams', 'sheetField.residueLossGrams', true),
    buoyancy,
    { ...text('consumableId', 'sheetField.consumableId'), optional: true },
  ],
  torque: [
    localized('text', 'sheetField.text', true),
    ...measured(units(torqueUnits)),
    choice(
      'finalPull',
      'sheetField.finalPull',
      finalPullRules.map((value) => ({ value, label: { key: `sheetField.finalPull.${value}` } })),
    ),
    number('pullThreshold.value', 'sheetField.thresholdValue', true, 'pullThreshold.unit'),
    choice('pullThreshold.unit', 'sheetField.thresholdUnit', units(torqueUnits), true),
    choice(
      'direction',
      'sheetField.direction',
      (['clockwise', 'counter-clockwise'] as const).map((value) => ({
        value,
        label: { key: `sheetField.direction.${value}` },
      })),
      true,
    ),
    lever,
  ],
  numeric: [
    localized('label', 'sheetField.label'),
    text('unit', 'sheetField.unit'),
    number('lower', 'sheetField.lower', true, 'unit'),
    number('upper', 'sheetField.upper', true, 'unit'),
    number('decimals', 'sheetField.decimals', true),
    number('maximumAttempts', 'sheetField.maximumAttempts'),
  ],
  note: [localized('prompt', 'sheetField.prompt')],
  signOff: [
    localized('statement', 'sheetField.statement'),
    {
      path: 'roles',
      kind: 'several',
      label: 'sheetField.roles',
      choices: (['technician', 'lead'] as const).map((value) => ({ value, label: { key: `role.${value}` } })),
    },
  ],
};

/** Every kind of step, in the order in which a job usually has them. */
export const stepKinds = Object.keys(ofKind) as readonly StepKind[];

/** Fields of a step of that kind; of an unknown kind those that all have. */
export function stepFields(kind: unknown): readonly SheetField[] {
  const own = stepKinds.find((known) => known === kind);
  return [...common, ...(own === undefined ? [] : ofKind[own]), picture, order];
}

/** Fields of a caution. */
export const cautionFields: readonly SheetField[] = [
  choice(
    'hazard',
    'sheetField.hazard',
    hazards.map((value) => ({ value, label: { key: `hazard.${value}` } })),
  ),
  localized('text', 'sheetField.text'),
];
