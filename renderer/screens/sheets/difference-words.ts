import { unitSchema } from '../../../shared/quantity/unit.ts';
import type { SheetDifference } from '../../../shared/sheet/difference.ts';
import { findStep, type ServiceSheet } from '../../../shared/sheet/sheet.ts';
import type { Picture, Step } from '../../../shared/sheet/step.ts';
import { labelOf } from '../../parts/choice-list.tsx';
import { valueAt } from '../../state/sheet-draft.ts';
import { unitName } from '../../wording/unit-name.ts';
import type { Wording } from '../../wording/wording.ts';
import { fieldAt, fieldName, fieldsOfSheet, fieldsOfStep, fieldsWithin } from './field-name.ts';
import type { SheetField } from './sheet-fields.ts';
import { stepWords } from './sheet-text.tsx';

/** What one of two revisions has at a place: lines of text, or a picture; null for nothing. */
export type SideWords = readonly string[] | Picture | null;

/** A difference between two revisions as a reviewer reads it. */
export interface DifferenceWords {
  readonly path: string;
  /** Title of the step; null for what the sheet itself says. */
  readonly step: string | null;
  readonly field: string;
  readonly before: SideWords;
  readonly after: SideWords;
}

const thinSpace = '\u202f';

/** Every difference in words of the language, a picture as one. */
export function differenceWords(
  differences: readonly SheetDifference[],
  before: ServiceSheet,
  after: ServiceSheet,
  wording: Wording,
): readonly DifferenceWords[] {
  const paths = differences.map(({ path }) => path.replace(/\.picture\.(base64|mediaType)$/, '.picture'));
  return [...new Set(paths)].map((path) => wordsAt(path, before, after, wording));
}

function wordsAt(path: string, before: ServiceSheet, after: ServiceSheet, wording: Wording): DifferenceWords {
  const { stepId, rest } = /^steps\[(?<stepId>[^\]]+)\]\.?(?<rest>.*)$/.exec(path)?.groups ?? {};
  if (stepId === undefined || rest === undefined) {
    const fields = fieldsOfSheet;
    return {
      path,
      step: null,
      field: fieldName(path, fields, wording),
      before: sideWords(path, before, fields, before, wording),
      after: sideWords(path, after, fields, after, wording),
    };
  }
  const [was, is] = [findStep(before, stepId), findStep(after, stepId)];
  const title = (is ?? was)?.title;
  const step = title === undefined ? stepId : wording.of(title);
  if (rest === '') {
    const [taken, added] = [wholeStep(was, wording), wholeStep(is, wording)];
    return { path, step, field: wording.say('sheets.wholeStep'), before: taken, after: added };
  }
  const place = rest.replace(/\[(\d+)\]/g, '.$1');
  const fields = [was, is].flatMap((side) => fieldsOfStep(side));
  return {
    path,
    step,
    field: fieldName(place, fields, wording),
    before: sideWords(place, was, fields, before, wording),
    after: sideWords(place, is, fields, after, wording),
  };
}

function sideWords(
  path: string,
  side: ServiceSheet | Step | undefined,
  fields: readonly SheetField[],
  sheet: ServiceSheet,
  wording: Wording,
): SideWords {
  const field = fieldAt(path, fields);
  if (field?.kind === 'names' && side !== undefined)
    return orderWords(path, valueAt(side, path), sheet, wording);
  const value = valueAt(side, path);
  if (value === undefined) return null;
  if (field?.kind === 'picture') return value as Picture;
  if (field === undefined || field.kind === 'group') {
    return fieldsWithin(path, fields).flatMap((one) => {
      const inner = valueAt(side, one.path);
      return inner === undefined
        ? []
        : valueWords(one, inner, side, wording).map((words) => `${wording.say(one.label)}: ${words}`);
    });
  }
  return valueWords(field, value, side, wording);
}

/** Steps by their titles: the order of all, or what a step comes after. */
function orderWords(path: string, value: unknown, sheet: ServiceSheet, { say, of }: Wording): SideWords {
  if (path === 'steps') return sheet.steps.map(({ title }, index) => `${index + 1}. ${of(title)}`);
  if (!Array.isArray(value)) return [say('sheets.afterAbove')];
  if (value.length === 0) return [say('sheets.atAnyTime')];
  return value.map((stepId) => {
    const title = findStep(sheet, stepId)?.title;
    return title === undefined ? stepId : of(title);
  });
}

function wholeStep(step: Step | undefined, wording: Wording): SideWords {
  if (step === undefined) return null;
  const { say, of } = wording;
  return [
    `${say(`step.${step.kind}`)} · ${say(step.mandatory ? 'sheetsScreen.mandatory' : 'sheetsScreen.optional')}`,
    ...step.cautions.map(({ hazard, text }) => `${say(`hazard.${hazard}`)} ${of(text)}`),
    ...stepWords(step, wording),
  ];
}

/** One value as it is read; a text of both languages as two lines. */
function valueWords(field: SheetField, value: unknown, side: unknown, wording: Wording): readonly string[] {
  const { say, decimal, day } = wording;
  const chosen = (one: unknown) => {
    const known = field.choices?.find((choice) => choice.value === one);
    return known === undefined ? String(one) : labelOf(known.label, wording);
  };
  switch (field.kind) {
    case 'localized':
      return typeof value === 'string' ? [value] : [valueAt(value, 'en'), valueAt(value, 'de')].map(String);
    case 'number': {
      const unit = field.unitAt === undefined ? undefined : valueAt(side, field.unitAt);
      const shown = decimal(String(value));
      return [unit === undefined ? shown : `${shown}${thinSpace}${unitText(unit)}`];
    }
    case 'flag':
      return [say(value === true ? 'step.check.yes' : 'step.check.no')];
    case 'choice':
      return [chosen(value)];
    case 'several':
      return [Array.isArray(value) ? value.map(chosen).join(', ') || say('desk.none') : String(value)];
    default:
      return [field.path === 'effectiveFrom' ? day(String(value)) : String(value)];
  }
}

function unitText(unit: unknown): string {
  const known = unitSchema.safeParse(unit);
  return known.success ? unitName(known.data) : String(unit);
}
