import { describe, expect, it } from 'vitest';
import {
  cautionFields,
  type SheetField,
  sheetFields,
  stepFields,
  stepKinds,
} from '../../../renderer/screens/sheets/sheet-fields.ts';
import {
  draftOf,
  freshSheet,
  freshStep,
  moveStep,
  nextRevision,
  placeOfField,
  stepsOf,
  valueAt,
  withSteps,
  withValueAt,
} from '../../../renderer/state/sheet-draft.ts';
import type { SheetRevisionsView } from '../../../shared/management-view.ts';
import { readSheet } from '../../../shared/sheet/sheet-check.ts';
import { type StepKind, stepSchema } from '../../../shared/sheet/step.ts';
import { sheet } from '../situations.ts';

const named = (draft: ReturnType<typeof draftOf>) => stepsOf(draft.sheet).map(({ stepId }) => stepId);

/** A step with something typed into each field that must not be empty. */
function filled(step: unknown, fields: readonly SheetField[]): unknown {
  return fields.reduce((before, { path, kind, optional }) => {
    if (optional) return before;
    if (kind === 'localized') return withValueAt(before, path, { en: 'A', de: 'B' });
    if (kind === 'flag' || valueAt(before, path) !== undefined) return before;
    return withValueAt(before, path, kind === 'number' ? 1 : 'x');
  }, step);
}

function issuesOf(kind: StepKind, step: unknown): readonly unknown[] {
  const texts = withValueAt(step, 'cautions', []);
  const limited = kind === 'mass' || kind === 'torque' ? withValueAt(texts, 'band.lower', 1) : texts;
  const named = kind === 'consumable' ? withValueAt(limited, 'consumableId', 'grease') : limited;
  const parsed = stepSchema.safeParse(kind === 'numeric' ? withValueAt(named, 'unit', '°C') : named);
  return parsed.error?.issues ?? [];
}

describe('a sheet while it is written', () => {
  it('is the sheet that it was copied from until something is changed', () => {
    const read = readSheet(draftOf(sheet, { revision: 7 }).sheet);
    expect(read).toEqual({ ok: true, value: { ...sheet, revision: 7 } });
  });

  it('changes one value and leaves the rest and the original alone', () => {
    const before = structuredClone(sheet) as unknown;
    const after = withValueAt(sheet, 'head.name.de', 'Neu');
    expect(valueAt(after, 'head.name.de')).toBe('Neu');
    expect(valueAt(after, 'head.name.en')).toBe(sheet.head.name.en);
    expect(sheet).toEqual(before);
  });

  it('takes a key away when its field is emptied, and makes the objects that a path needs', () => {
    expect(withValueAt({ band: { lower: 1, unit: 'g' } }, 'band.lower', undefined)).toEqual({
      band: { unit: 'g' },
    });
    expect(withValueAt({}, 'pullThreshold.value', 3)).toEqual({ pullThreshold: { value: 3 } });
    expect(withValueAt({ cautions: [{ hazard: 'heat' }] }, 'cautions.0.hazard', 'fumes')).toEqual({
      cautions: [{ hazard: 'fumes' }],
    });
  });

  it('moves the step shown and shows it at its new place; at the end it stays', () => {
    const names = sheet.steps.map(({ stepId }) => stepId);
    const draft = { ...draftOf(sheet), stepIndex: 1 };
    const up = moveStep(draft, -1);
    expect(named(up).slice(0, 2)).toEqual([names[1], names[0]]);
    expect(up.stepIndex).toBe(0);
    expect(moveStep(up, -1)).toBe(up);
    expect(named(moveStep(up, 1))).toEqual(names);
  });

  it('shows the last step when the one shown is removed at the end', () => {
    const last = sheet.steps.length - 1;
    const draft = { ...draftOf(sheet), stepIndex: last };
    expect(withSteps(draft, stepsOf(draft.sheet).slice(0, -1), last).stepIndex).toBe(last - 1);
  });

  it('a new sheet needs its own words alone: title, head, and what hurts', () => {
    const begun = freshSheet({ sheetId: 'ours', headId: 'head-ours', invented: false }, '2026-11-27').sheet;
    expect(readSheet(begun)).toMatchObject({ ok: false, error: { field: 'title.en' } });
    expect(valueAt(begun, 'deferral.en')).toMatch(/^The tool maker’s instructions come first/);
    const named = filled(begun, sheetFields) as typeof begun;
    expect(readSheet(named)).toMatchObject({ ok: false, error: { field: 'steps[0].cautions[0].text.en' } });
    const [makeSafe, signOff] = stepsOf(named);
    const hurts = filled(valueAt(makeSafe, 'cautions.0'), cautionFields);
    const written = filled(withValueAt(makeSafe, 'cautions', [hurts]), stepFields('caution'));
    expect(readSheet(withValueAt(named, 'steps', [written, signOff]))).toMatchObject({
      ok: true,
      value: { sheetId: 'ours', invented: false },
    });
  });

  it('finds the place that a refusal speaks of', () => {
    expect(placeOfField('steps[12].band.lower')).toEqual({ stepIndex: 12, path: 'band.lower' });
    expect(placeOfField('sheet.steps[3].after[0]')).toEqual({ stepIndex: 3, path: 'after.0' });
    expect(placeOfField('steps[2]')).toEqual({ stepIndex: 2, path: '' });
    expect(placeOfField('title.de')).toEqual({ stepIndex: -1, path: 'title.de' });
    expect(placeOfField('steps')).toEqual({ stepIndex: -1, path: 'steps' });
  });

  it.each(stepKinds)('a new step of the kind %s has every field that the schema asks for', (kind) => {
    const step = filled(freshStep(kind, 'new'), stepFields(kind));
    expect(issuesOf(kind, step)).toEqual([]);
  });

  it.each(stepKinds)('so has one of the kind %s with all that may be switched on', (kind) => {
    const groups = stepFields(kind).filter((field) => field.kind === 'group');
    const step = groups.reduce<unknown>(
      (before, { path, initial, fields = [] }) => filled(withValueAt(before, path, initial), fields),
      filled(freshStep(kind, 'new'), stepFields(kind)),
    );
    expect(issuesOf(kind, step)).toEqual([]);
  });
});

describe('the revision that may be drafted next', () => {
  const state = (status: 'draft' | 'approved') =>
    ({
      sheetId: 's',
      inForce: null,
      revisions: [{ revision: 4, status }],
    }) as unknown as SheetRevisionsView;

  it('is the draft itself, else one more than the newest, else the first', () => {
    expect(nextRevision(state('draft'))).toBe(4);
    expect(nextRevision(state('approved'))).toBe(5);
    expect(nextRevision(undefined)).toBe(1);
  });
});
