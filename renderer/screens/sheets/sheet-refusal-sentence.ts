import type { Refusal } from '../../../shared/result.ts';
import { labelOf } from '../../parts/choice-list.tsx';
import {
  placeOfField,
  type RefusedSheet,
  type SheetPlace,
  stepsOf,
  valueAt,
} from '../../state/sheet-draft.ts';
import { english, type MessageKey } from '../../wording/english.ts';
import type { Parameters, Wording } from '../../wording/wording.ts';
import { fieldAt, fieldName, fieldsOfSheet, fieldsOfStep } from './field-name.ts';
import type { SheetField } from './sheet-fields.ts';

/** Where nothing but a refusal ever points. */
const whole: Readonly<Record<string, MessageKey>> = {
  format: 'sheetField.format',
  revision: 'sheetField.revision',
  steps: 'sheetField.steps',
  cautions: 'editor.cautions',
};

/**
 * Why a sheet was not taken: the step by its title, the field as its form names it, what is wrong and what to do. Null
 * where the refusal is not about what a sheet holds.
 */
export function sheetRefusalSentence(
  refusal: Refusal,
  refused: RefusedSheet,
  wording: Wording,
): string | null {
  const key = whatKey(refusal);
  if (key === null) return null;
  const { say } = wording;
  const place = placeOfField(refusal.field);
  const step = place.stepIndex === -1 ? undefined : stepsOf(refused.sheet)[place.stepIndex];
  const fields = place.stepIndex === -1 ? fieldsOfSheet : fieldsOfStep(step);
  const where = place.stepIndex === -1 ? say('editor.sheet') : stepName(place, step, wording);
  const field = fieldWords(refusal, place.path, fields, wording);
  const what = say(key, parametersOf(refusal, fieldAt(place.path, fields), refused, wording));
  const sentence =
    field === '' ? say('sheetFault.at', { where, what }) : say('sheetFault.atField', { where, field, what });
  return refused.asJson && refusal.field !== ''
    ? say('sheetFault.inJson', { sentence, path: refusal.field.replace(/^sheet\./, '') })
    : sentence;
}

function stepName({ stepIndex }: SheetPlace, step: unknown, { say, language }: Wording): string {
  const number = stepIndex + 1;
  const title = valueAt(step, `title.${language}`) || valueAt(step, 'stepId');
  return typeof title === 'string' && title !== ''
    ? say('sheetFault.stepNamed', { number, title })
    : say('sheetFault.step', { number });
}

function fieldWords(
  { code }: Refusal,
  path: string,
  fields: readonly SheetField[],
  wording: Wording,
): string {
  if (path === '') return '';
  if (code === 'unknown_field') return path.split('.').at(-1) ?? path;
  const own = Object.hasOwn(whole, path) ? whole[path] : undefined;
  return own === undefined ? fieldName(path, fields, wording) : wording.say(own);
}

/** The words for what is wrong; one code may need several, by what was found. */
function whatKey({ code, values = {} }: Refusal): MessageKey | null {
  const { given } = values;
  switch (code) {
    case 'missing':
      return values.choices === undefined ? 'sheetFault.missing' : 'sheetFault.missingChoice';
    case 'wrong_type':
      return knownKey(`sheetFault.wrongType.${values.expected}`) ?? 'sheetFault.wrongType.object';
    case 'too_small':
    case 'too_big':
      if (values.of === 'string' && code === 'too_small') return 'sheetFault.empty';
      return knownKey(`sheetFault.${code}.${values.beyond === 'yes' ? 'beyond' : values.of}`);
    case 'invalid_format':
      return given === '' ? 'sheetFault.empty' : knownKey(`sheetFault.format.${values.format}`);
    case 'wrong_unit':
      return knownKey(`sheetFault.wrong_unit.${values.quantity}`);
    case 'tare_missing':
      return values.method === 'difference'
        ? 'sheetFault.tare_missing.difference'
        : 'sheetFault.tare_missing';
    default:
      return knownKey(`sheetFault.${code}`);
  }
}

function knownKey(key: string): MessageKey | null {
  return Object.hasOwn(english, key) ? (key as MessageKey) : null;
}

/** What fills the words: numbers and choices as the form shows them; in the JSON as they are written there. */
function parametersOf(
  { values = {} }: Refusal,
  field: SheetField | undefined,
  { sheet, asJson }: RefusedSheet,
  wording: Wording,
): Parameters {
  const { say, decimal, decimalSign, language } = wording;
  const printed = Object.entries(values).map(([name, value]) => [
    name,
    typeof value === 'number' && !asJson ? decimal(String(value)) : value,
  ]);
  const offered = asJson ? undefined : field?.choices?.map(({ label }) => labelOf(label, wording)).join(', ');
  const named = stepsOf(sheet).find((step) => valueAt(step, 'stepId') === values.stepId);
  return {
    ...Object.fromEntries(printed),
    sign: asJson ? '.' : decimalSign,
    ...(offered === undefined ? {} : { choices: offered }),
    step: String(valueAt(named, `title.${language}`) || values.stepId),
    choice: say(knownKey(`step.disposition.${values.choice}`) ?? 'step.disposition.reuse'),
    role: say(knownKey(`role.${values.role}`) ?? 'role.technician'),
  };
}
