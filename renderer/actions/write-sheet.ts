import { ok, type Result, refuse } from '../../shared/result.ts';
import type { ServiceSheet } from '../../shared/sheet/sheet.ts';
import { readSheet } from '../../shared/sheet/sheet-check.ts';
import { stepKinds } from '../screens/sheets/sheet-fields.ts';
import {
  freshStep,
  moveStep,
  type Plain,
  placeOfField,
  type SheetDraft,
  stepsOf,
  withSteps,
} from '../state/sheet-draft.ts';
import type { Action, Hands } from './action.ts';
import { manage } from './manage.ts';
import { atSheetEditor } from './manage-sheets.ts';

function editing(
  parts: Omit<Action, 'place' | 'offered' | 'run'> & {
    readonly place?: Action['place'];
    run(draft: SheetDraft, hands: Hands): void | Promise<void>;
  },
): Action {
  return {
    place: 'desk',
    ...parts,
    offered: atSheetEditor,
    run({ screen }, hands) {
      const draft = screen.desk.sheetDraft;
      return draft === null ? undefined : parts.run(draft, hands);
    },
  };
}

/** The draft as data, from its form or its JSON. */
function dataOf({ sheet, json }: SheetDraft): Result<Plain> {
  if (json === null) return ok(sheet);
  try {
    const data: unknown = JSON.parse(json);
    if (typeof data === 'object' && data !== null && !Array.isArray(data)) return ok(data as Plain);
  } catch {
    // Said below.
  }
  return refuse('not_json', '', 'This is no JSON object; look at commas, quotes and brackets.');
}

function withoutDraft(hands: Hands, saved: ServiceSheet): void {
  hands.setDesk({ sheetDraft: null, sheetId: saved.sheetId, revision: saved.revision });
}

/** Checks the sheet, shows the field at fault, or keeps it as draft at the station. */
export const saveSheet = editing({
  id: 'save-sheet',
  key: 'F4',
  label: () => 'action.saveSheet',
  enabled: ({ screen }) => !screen.busy,
  async run(draft, hands) {
    const data = dataOf(draft);
    const read = data.ok ? readSheet(data.value) : data;
    const sheet = { sheet: data.ok ? data.value : {}, asJson: draft.json !== null };
    if (!read.ok) {
      const wrong = placeOfField(read.error.field);
      hands.say({ tone: 'refused', failure: { kind: 'refusal', refusal: read.error }, sheet });
      if (!sheet.asJson) hands.setDesk({ sheetDraft: { ...draft, stepIndex: wrong.stepIndex, wrong } });
      return;
    }
    hands.set({ busy: true, notice: null });
    const failure = await manage(
      hands,
      { kind: 'draftSheet', sheet: read.value },
      { key: 'sheets.saidSaved', parameters: { revision: read.value.revision } },
    );
    hands.set({ busy: false });
    if (failure === null) withoutDraft(hands, read.value);
    else hands.say({ tone: 'refused', failure, sheet });
  },
});

/** Puts a new step behind the one shown. */
export const addStep = editing({
  id: 'add-step',
  key: 'F5',
  label: () => 'action.addStep',
  enabled: ({ screen }) => screen.desk.sheetDraft?.json === null,
  run(draft, hands) {
    hands.open({
      kind: 'question',
      question: {
        title: 'action.addStep',
        explanation: 'question.addStep',
        fields: [
          {
            name: 'kind',
            kind: 'choice',
            label: 'sheetField.kind',
            choices: stepKinds.map((value) => ({ value, label: { key: `step.${value}` } as const })),
          },
          { name: 'stepId', kind: 'text', label: 'sheetField.stepId' },
        ],
        confirm: 'action.addStep',
        submit: async ({ kind, stepId = '' }) => {
          const known = stepKinds.find((one) => one === kind);
          if (known === undefined) return null;
          const at = draft.stepIndex + 1;
          const steps = stepsOf(draft.sheet).toSpliced(at, 0, freshStep(known, stepId));
          hands.setDesk({ sheetDraft: withSteps(draft, steps, at) });
          return null;
        },
      },
    });
  },
});

const canMove =
  (by: 1 | -1): Action['enabled'] =>
  ({ screen }) => {
    const draft = screen.desk.sheetDraft;
    return draft !== null && draft.json === null && moveStep(draft, by) !== draft;
  };

export const moveStepUp = editing({
  id: 'move-step-up',
  key: 'F6',
  label: () => 'action.moveStepUp',
  enabled: canMove(-1),
  run: (draft, hands) => hands.setDesk({ sheetDraft: moveStep(draft, -1) }),
});

export const moveStepDown = editing({
  id: 'move-step-down',
  key: 'F7',
  label: () => 'action.moveStepDown',
  enabled: canMove(1),
  run: (draft, hands) => hands.setDesk({ sheetDraft: moveStep(draft, 1) }),
});

export const removeStep = editing({
  id: 'remove-step',
  key: 'F8',
  label: () => 'action.removeStep',
  enabled: ({ screen }) => {
    const draft = screen.desk.sheetDraft;
    return draft !== null && draft.json === null && stepsOf(draft.sheet)[draft.stepIndex] !== undefined;
  },
  run(draft, hands) {
    const steps = stepsOf(draft.sheet).toSpliced(draft.stepIndex, 1);
    hands.setDesk({ sheetDraft: withSteps(draft, steps, draft.stepIndex) });
  },
});

/** Writes the sheet as JSON, or by the form again. */
export const toggleSheetJson = editing({
  id: 'sheet-as-json',
  key: 'F9',
  label: ({ screen }) => (screen.desk.sheetDraft?.json == null ? 'action.sheetAsJson' : 'action.sheetAsForm'),
  enabled: () => true,
  run(draft, hands) {
    if (draft.json === null) {
      hands.setDesk({ sheetDraft: { ...draft, json: JSON.stringify(draft.sheet, null, 2) } });
      return;
    }
    const data = dataOf(draft);
    if (data.ok) hands.setDesk({ sheetDraft: { ...draft, sheet: data.value, stepIndex: -1, json: null } });
    else hands.say({ tone: 'refused', failure: { kind: 'refusal', refusal: data.error } });
  },
});

export const discardSheet = editing({
  id: 'discard-sheet',
  key: 'Shift+F9',
  label: () => 'action.discardSheet',
  enabled: () => true,
  run(_draft, hands) {
    hands.set({ notice: null });
    hands.setDesk({ sheetDraft: null });
  },
});

/** Looks at the sheets; the draft is kept on this screen. */
export const leaveSheet = editing({
  id: 'leave-sheet',
  key: 'Escape',
  place: 'bar',
  label: () => 'action.leaveSheet',
  enabled: () => true,
  run(draft, hands) {
    hands.set({ notice: null });
    hands.setDesk({ sheetDraft: { ...draft, isOpen: false } });
  },
});
