import { ruleSources } from '../../shared/acceptance/rule.ts';
import type { SheetRevisionsView } from '../../shared/management-view.ts';
import { type ServiceSheet, sheetFormat } from '../../shared/sheet/sheet.ts';
import type { StepKind } from '../../shared/sheet/step.ts';

/** Plain data while it is written: whole or not, it is checked when it is saved. */
export type Plain = Readonly<Record<string, unknown>>;

/** A sheet while it is written. */
export interface SheetDraft {
  readonly sheet: Plain;
  /** Place of the step that is shown; −1: the sheet itself. */
  readonly stepIndex: number;
  /** Not null: the whole sheet is written as JSON. */
  readonly json: string | null;
  /** The editor is on the screen; false while the sheets are looked at. */
  readonly isOpen: boolean;
  /** The field that a refusal speaks of, until something is changed. */
  readonly wrong: SheetPlace | null;
}

/** A place in a sheet: its step, −1 for the sheet itself, and the path there, such as `band.upper` or `cautions.0.text`. */
export interface SheetPlace {
  readonly stepIndex: number;
  readonly path: string;
}

/** A sheet that was refused, as it was written: in the form, or as JSON. */
export interface RefusedSheet {
  readonly sheet: Plain;
  readonly asJson: boolean;
}

export function draftOf(sheet: ServiceSheet, change: Partial<ServiceSheet> = {}): SheetDraft {
  return { sheet: { ...sheet, ...change }, stepIndex: -1, json: null, isOpen: true, wrong: null };
}

/** The revision that may be drafted next. */
export function nextRevision(state: SheetRevisionsView | undefined): number {
  const newest = state?.revisions.at(-1);
  if (newest === undefined) return 1;
  return newest.status === 'draft' ? newest.revision : newest.revision + 1;
}

/** What stands at a path such as `band.upper` or `cautions.0.text.en`; undefined where nothing does. */
export function valueAt(data: unknown, path: string): unknown {
  return path.split('.').reduce<unknown>((at, key) => {
    if (typeof at !== 'object' || at === null || !Object.hasOwn(at, key)) return undefined;
    return (at as Plain)[key];
  }, data);
}

/** The same data with another value at a path; undefined takes the key away. Objects on the way are made. */
export function withValueAt(data: unknown, path: string, value: unknown): unknown {
  const [key = '', ...rest] = path.split('.');
  const next = rest.length === 0 ? value : withValueAt(valueAt(data, key) ?? {}, rest.join('.'), value);
  if (Array.isArray(data)) return data.with(Number(key), next);
  const before = typeof data === 'object' && data !== null ? (data as Plain) : {};
  if (next !== undefined) return { ...before, [key]: next };
  const { [key]: _gone, ...kept } = before;
  return kept;
}

export function stepsOf(sheet: Plain): readonly Plain[] {
  return Array.isArray(sheet.steps) ? (sheet.steps as readonly Plain[]) : [];
}

/** The same draft with the steps in another order or number; the step at `stepIndex` is shown then. */
export function withSteps(draft: SheetDraft, steps: readonly Plain[], stepIndex: number): SheetDraft {
  return {
    ...draft,
    sheet: { ...draft.sheet, steps },
    stepIndex: Math.min(stepIndex, steps.length - 1),
    wrong: null,
  };
}

/** The draft with the step shown moved up (−1) or down (1); the same draft where it cannot go further. */
export function moveStep(draft: SheetDraft, by: 1 | -1): SheetDraft {
  const steps = stepsOf(draft.sheet);
  const { stepIndex } = draft;
  const step = steps[stepIndex];
  const other = steps[stepIndex + by];
  if (step === undefined || other === undefined) return draft;
  return withSteps(draft, steps.with(stepIndex, other).with(stepIndex + by, step), stepIndex + by);
}

/** Where a refusal points, by the path of its field: `sheet.steps[3].after[0]`. */
export function placeOfField(field: string): SheetPlace {
  const { step, path = '' } =
    /^(?:sheet\.)?(?:steps\[(?<step>\d+)\]\.?)?(?<path>.*)$/.exec(field)?.groups ?? {};
  return { stepIndex: Number(step ?? -1), path: path.replace(/\[(\d+)\]/g, '.$1') };
}

/** The rest of a path behind its beginning; null where it does not lie there. */
export function pathWithin(beginning: string, path: string | null): string | null {
  return path?.startsWith(`${beginning}.`) ? path.slice(beginning.length + 1) : null;
}

/** Is that the field of a path, a part of it, or what it is a part of? */
export function isAtPath(field: string, path: string | null): boolean {
  return path === field || pathWithin(field, path) !== null || pathWithin(path ?? field, field) !== null;
}

const noText = { en: '', de: '' };
const measured = {
  rule: { kind: 'guarded', factor: 1, source: ruleSources.guarded },
  maximumAttempts: 3,
};

/** A new step of a kind with all that it must have, its texts still empty. */
export function freshStep(kind: StepKind, stepId: string): Plain {
  const common = { stepId, kind, title: noText, mandatory: true, cautions: [] };
  switch (kind) {
    case 'caution':
      return { ...common, cautions: [{ hazard: 'heat', text: noText }], text: noText };
    case 'instruction':
      return { ...common, text: noText };
    case 'check':
      return { ...common, question: noText, onFail: 'stop' };
    case 'disposition':
      return {
        ...common,
        part: noText,
        choices: ['reuse', 'replace', 'scrap'],
        reasonRequiredFor: ['scrap'],
      };
    case 'consumable':
      return { ...common, consumableId: '', name: noText, lotRequired: true };
    case 'mass':
      return { ...common, ...measured, band: { unit: 'g' }, method: 'dish', tare: 'station' };
    case 'torque':
      return { ...common, ...measured, band: { unit: 'N.m' }, finalPull: 'last' };
    case 'numeric':
      return { ...common, label: noText, unit: '', maximumAttempts: 3 };
    case 'note':
      return { ...common, mandatory: false, prompt: noText };
    case 'signOff':
      return { ...common, statement: noText, roles: ['technician', 'lead'] };
  }
}

const deferral = {
  en: 'The tool maker’s instructions come first, then local codes and the rules of licensed practice; where this sheet differs, it gives way.',
  de: 'Die Anleitung des Herstellers, örtliche Vorschriften und die Regeln zugelassener Fachbetriebe gehen vor; wo dieses Blatt abweicht, tritt es zurück.',
};
const statement = {
  en: 'I did this work as the sheet says; every reading and every finding above is true.',
  de: 'Ich habe nach diesem Blatt gearbeitet; alle Werte und Befunde oben stimmen.',
};

/** The first revision of a new sheet: what hurts before the work, the signature after it, and nothing between yet. */
export function freshSheet(
  names: { readonly sheetId: string; readonly headId: string; readonly invented: boolean },
  effectiveFrom: string,
): SheetDraft {
  const { sheetId, headId, invented } = names;
  const makeSafe = { ...freshStep('caution', 'make-safe'), title: { en: 'Make safe', de: 'Sichern' } };
  const signOff = { ...freshStep('signOff', 'sign-off'), title: { en: 'Sign off', de: 'Unterschreiben' } };
  return {
    sheet: {
      format: sheetFormat,
      sheetId,
      revision: 1,
      title: noText,
      head: { headId, name: noText },
      invented,
      effectiveFrom,
      deferral,
      steps: [makeSafe, { ...signOff, statement }],
    },
    stepIndex: -1,
    json: null,
    isOpen: true,
    wrong: null,
  };
}
