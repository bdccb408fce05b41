import { useEffect, useRef } from 'react';
import { focusEntry } from '../../key-handling.ts';
import { DeskList } from '../../parts/desk-list.tsx';
import {
  type Plain,
  pathWithin,
  type SheetDraft,
  stepsOf,
  valueAt,
  withValueAt,
} from '../../state/sheet-draft.ts';
import type { Wording } from '../../wording/wording.ts';
import { useWording, useWorkbench } from '../../workbench.ts';
import { SheetFieldInput } from './sheet-field-input.tsx';
import { cautionFields, sheetFields, stepFields, stepKinds } from './sheet-fields.ts';

/** A sheet being written: its parts at the left, the fields of one part at the right; or all of it as JSON. */
export function SheetEditor({ draft }: { readonly draft: SheetDraft }) {
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say } = wording;
  const { sheet, stepIndex, json, wrong } = draft;
  const steps = stepsOf(sheet);
  const step = steps[stepIndex];
  const editor = useRef<HTMLElement>(null);
  useEffect(focusEntry, []);
  useEffect(() => {
    if (wrong !== null) editor.current?.querySelector<HTMLElement>('[data-wrong]')?.focus();
  }, [wrong]);
  const change = (part: Partial<SheetDraft>) => hands.setDesk({ sheetDraft: { ...draft, ...part } });
  const changeSheet = (next: Plain) => change({ sheet: next, wrong: null });
  const changeStep = (next: Plain) => changeSheet({ ...sheet, steps: steps.with(stepIndex, next) });
  const wrongPath = wrong?.stepIndex === stepIndex ? wrong.path : null;
  return (
    <section className="sheet-editor" data-testid="sheet-editor" ref={editor}>
      <h2>{say('editor.title', { sheet: String(sheet.sheetId), revision: String(sheet.revision) })}</h2>
      {json !== null ? (
        <div className="field">
          <label htmlFor="sheet-json">{say('editor.json')}</label>
          <textarea
            id="sheet-json"
            className="is-code"
            data-testid="sheet-json"
            rows={22}
            spellCheck={false}
            data-entry=""
            value={json}
            onChange={(event) => change({ json: event.currentTarget.value })}
          />
        </div>
      ) : (
        <div className="two-sides">
          <DeskList
            label={say('editor.parts')}
            testId="editor-parts"
            chosenId={String(stepIndex)}
            onChoose={(id) => change({ stepIndex: Number(id) })}
            items={[
              { id: '-1', label: say('editor.sheet') },
              ...steps.map((one, index) => ({
                id: String(index),
                label: `${index + 1}. ${titleOf(one, wording)}`,
                detail: kindOf(one, wording),
              })),
            ]}
          />
          {step === undefined ? (
            <div className="editor-fields" key="sheet">
              {sheetFields.map((field) => (
                <SheetFieldInput
                  key={field.path}
                  field={field}
                  of={sheet}
                  wrong={wrongPath}
                  onChange={changeSheet}
                />
              ))}
            </div>
          ) : (
            <div className="editor-fields" key={stepIndex}>
              <p className="quiet">
                {say('sheetField.kind')}: {kindOf(step, wording)}
              </p>
              {stepFields(step.kind).map((field) => (
                <SheetFieldInput
                  key={field.path}
                  field={field}
                  of={step}
                  wrong={wrongPath}
                  onChange={changeStep}
                />
              ))}
              <CautionFields step={step} wrong={wrongPath} onChange={changeStep} />
            </div>
          )}
        </div>
      )}
    </section>
  );
}

function titleOf(step: Plain, { language }: Wording): string {
  const title = valueAt(step, `title.${language}`);
  return typeof title === 'string' && title !== '' ? title : String(step.stepId ?? '');
}

function kindOf(step: Plain, { say }: Wording): string {
  const kind = stepKinds.find((known) => known === step.kind);
  return kind === undefined ? String(step.kind) : say(`step.${kind}`);
}

interface CautionProperties {
  readonly step: Plain;
  /** As in `SheetFieldInput`. */
  readonly wrong: string | null;
  readonly onChange: (next: Plain) => void;
}

function CautionFields({ step, wrong, onChange }: CautionProperties) {
  const { say } = useWording();
  const cautions = Array.isArray(step.cautions) ? (step.cautions as readonly Plain[]) : [];
  const set = (next: readonly Plain[]) => onChange({ ...step, cautions: next });
  return (
    <section className="editor-cautions">
      <h3>{say('editor.cautions')}</h3>
      {cautions.map((caution, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a caution has no name but its place
        <fieldset key={index} className="editor-caution">
          <legend>{say('editor.cautionNumber', { number: index + 1 })}</legend>
          {cautionFields.map((field) => (
            <SheetFieldInput
              key={field.path}
              field={field}
              of={caution}
              wrong={pathWithin(`cautions.${index}`, wrong)}
              onChange={(next) => set(cautions.with(index, next))}
            />
          ))}
          <button type="button" className="action" onClick={() => set(cautions.toSpliced(index, 1))}>
            <span className="action-label">{say('editor.removeCaution', { number: index + 1 })}</span>
          </button>
        </fieldset>
      ))}
      <button
        type="button"
        className="action"
        data-wrong={wrong === 'cautions' ? '' : undefined}
        onClick={() =>
          set([...cautions, withValueAt({ hazard: 'heat' }, 'text', { en: '', de: '' }) as Plain])
        }
      >
        <span className="action-label">{say('editor.addCaution')}</span>
      </button>
    </section>
  );
}
