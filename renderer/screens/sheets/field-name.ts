import { valueAt } from '../../state/sheet-draft.ts';
import type { Wording } from '../../wording/wording.ts';
import { cautionFields, type SheetField, sheetFields, stepFields, stepKinds } from './sheet-fields.ts';

/** What no form asks for, or asks for in another way. */
const moreOfSheet: readonly SheetField[] = [
  { path: 'sheetId', kind: 'text', label: 'sheetField.sheetId' },
  { path: 'head.headId', kind: 'text', label: 'sheetField.headId' },
  { path: 'invented', kind: 'flag', label: 'sheetField.invented' },
  { path: 'steps', kind: 'names', label: 'sheets.orderOfSteps' },
];
const moreOfStep: readonly SheetField[] = [
  {
    path: 'kind',
    kind: 'choice',
    label: 'sheetField.kind',
    choices: stepKinds.map((value) => ({ value, label: { key: `step.${value}` } })),
  },
  { path: 'after', kind: 'names', label: 'sheets.after' },
  {
    path: 'rule.kind',
    kind: 'choice',
    label: 'sheetField.rule',
    choices: (['simple', 'guarded', 'conformance'] as const).map((value) => ({
      value,
      label: { key: `sheetField.rule.${value}` },
    })),
  },
  { path: 'rule.factor', kind: 'number', label: 'sheetField.factor' },
  { path: 'rule.probability', kind: 'number', label: 'sheetField.probability' },
  { path: 'rule.source', kind: 'text', label: 'sheets.ruleSource' },
  { path: 'picture.description', kind: 'localized', label: 'sheetField.pictureDescription' },
];

/** All that may stand in a sheet beside its steps. */
export const fieldsOfSheet: readonly SheetField[] = [...moreOfSheet, ...sheetFields];

/** All that may stand in this step: what its form asks for, and more. */
export function fieldsOfStep(step: unknown): readonly SheetField[] {
  const cautions = valueAt(step, 'cautions');
  const ofCautions = (Array.isArray(cautions) ? cautions : []).flatMap((_caution, index) =>
    cautionFields.map((field) => ({ ...field, path: `cautions.${index}.${field.path}` })),
  );
  return [...moreOfStep, ...ofCautions, ...stepFields(valueAt(step, 'kind'))].flatMap((field) => [
    field,
    ...(field.fields ?? []),
  ]);
}

/** The field at a path, or the one that the path lies in; the nearest of them. */
export function fieldAt(path: string, fields: readonly SheetField[]): SheetField | undefined {
  const around = fields.filter((field) => path === field.path || path.startsWith(`${field.path}.`));
  return around.reduce<SheetField | undefined>(
    (best, field) => (best !== undefined && best.path.length >= field.path.length ? best : field),
    undefined,
  );
}

/** Fields that lie in what stands at a path, each once. */
export function fieldsWithin(path: string, fields: readonly SheetField[]): readonly SheetField[] {
  const within = fields.filter((field) => field.path.startsWith(`${path}.`));
  return [...new Map(within.map((field) => [field.path, field])).values()];
}

/** The field at a path in words of the language: its caution, its label, its language; the path where no field is. */
export function fieldName(path: string, fields: readonly SheetField[], { say }: Wording): string {
  const caution = /^cautions\.(\d+)(\.|$)/.exec(path);
  const field = fieldAt(path, fields) ?? (caution === null ? fieldsWithin(path, fields)[0] : undefined);
  const label = field === undefined ? null : say(field.label);
  const language = /\.(en|de)$/.exec(path)?.[1];
  const inLanguage =
    label === null || language === undefined || field?.kind !== 'localized'
      ? label
      : say(language === 'en' ? 'editor.english' : 'editor.german', { label });
  const number = caution === null ? null : say('editor.cautionNumber', { number: Number(caution[1]) + 1 });
  return [number, inLanguage].filter((words) => words !== null).join(' · ') || path;
}
