import { useState } from 'react';
import { parseTypedNumber } from '../../shared/quantity/typed-number.ts';
import { ok, type Result } from '../../shared/result.ts';
import type { Question, QuestionField } from '../state/screen-store.ts';
import { parseTypedDay, typedDay } from '../state/typed-day.ts';
import type { CallFailure } from '../station-client.ts';
import { failureSentence } from '../wording/refusal-sentence.ts';
import type { Parameters, Wording } from '../wording/wording.ts';
import { useWording, useWorkbench } from '../workbench.ts';
import { labelOf } from './choice-list.tsx';
import { VerdictIcon } from './icons.tsx';
import { PageDialog } from './page-dialog.tsx';
import { QuestionInput } from './question-input.tsx';

/** Asks for a few fields, then does what they are for; a refusal stays here with what was typed. */
export function QuestionDialog({ question }: { readonly question: Question }) {
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say } = wording;
  const [values, setValues] = useState<Readonly<Record<string, string>>>(() =>
    initialValues(question, wording),
  );
  const [failure, setFailure] = useState<CallFailure | QuestionField | null>(null);
  const [busy, setBusy] = useState(false);
  const submit = async () => {
    const missing = question.fields.find(
      (field) => field.optional !== true && (values[field.name] ?? '').trim() === '',
    );
    if (missing !== undefined) return setFailure(missing);
    const typed = readTyped(question, trimmed(values), wording);
    if (!typed.ok) return setFailure({ kind: 'refusal', refusal: typed.error });
    setBusy(true);
    hands.set({ outcome: null });
    const failed = await question.submit(typed.value);
    setBusy(false);
    if (failed === null) hands.set({ dialog: null });
    else setFailure(failed);
  };
  return (
    <PageDialog title={say(question.title)} wide={question.fields.length > 2}>
      <form
        className="question"
        onSubmit={(event) => {
          event.preventDefault();
          if (!busy) void submit();
        }}
      >
        <div className="question-body">
          <p>{say(question.explanation, printed(question.parameters, wording))}</p>
          {question.warning !== undefined && <p className="quiet">{labelOf(question.warning, wording)}</p>}
          <div className="question-fields">
            {question.fields.map((field, index) => (
              <div className="field" key={field.name}>
                <label htmlFor={`question-${field.name}`} id={`question-${field.name}-label`}>
                  {field.kind === 'day'
                    ? say('field.dayFormat', { label: say(field.label) })
                    : say(field.label)}
                  {field.optional === true ? ` (${say('field.optional')})` : ''}
                </label>
                <QuestionInput
                  field={field}
                  first={index === 0}
                  value={values[field.name] ?? ''}
                  onChange={(value) => {
                    setFailure(null);
                    setValues((before) => ({ ...before, [field.name]: value }));
                  }}
                />
              </div>
            ))}
          </div>
        </div>
        <footer className="question-foot">
          <button type="submit" className="action is-main" disabled={busy} data-testid="question-confirm">
            <kbd className="key">Enter ↵</kbd>
            <span className="action-label">{say(question.confirm)}</span>
          </button>
          <p className="question-failure" role="alert">
            {failure !== null && (
              <>
                <VerdictIcon verdict="conditional fail" />
                <span>
                  {'label' in failure
                    ? say('refusal.fieldMissing', { field: say(failure.label) })
                    : failureSentence(failure, wording)}
                </span>
              </>
            )}
          </p>
        </footer>
      </form>
    </PageDialog>
  );
}

/** What fills the explanation, a day as in the language of the screen. */
function printed(parameters: Parameters = {}, { day }: Wording): Parameters {
  return typeof parameters.day === 'string' ? { ...parameters, day: day(parameters.day) } : parameters;
}

/** A single person to choose from is chosen already. */
function initialValues(question: Question, { decimalSign, language }: Wording): Record<string, string> {
  const written = ({ kind, initial = '' }: QuestionField) => {
    if (kind === 'number') return initial.replace('.', decimalSign);
    return kind === 'day' ? typedDay(initial, language) : initial;
  };
  return Object.fromEntries(
    question.fields.map((field) => [
      field.name,
      field.people?.length === 1 ? (field.people[0]?.personId ?? '') : written(field),
    ]),
  );
}

function trimmed(values: Readonly<Record<string, string>>): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, value.trim()]));
}

/**
 * The same answers with numbers as canonical decimal text and days as in ISO 8601. Refuses the first number that is
 * none; a day that is none stays as it was typed, for the station to refuse.
 */
function readTyped(
  { fields }: Question,
  values: Readonly<Record<string, string>>,
  { decimalSign, language }: Wording,
): Result<Readonly<Record<string, string>>> {
  const read: Record<string, string> = { ...values };
  for (const { name, kind } of fields) {
    const typed = values[name] ?? '';
    if (typed === '') continue;
    if (kind === 'day') read[name] = parseTypedDay(typed, language) ?? typed;
    if (kind !== 'number') continue;
    const number = parseTypedNumber(typed, decimalSign);
    if (!number.ok) return number;
    read[name] = number.value.text;
  }
  return ok(read);
}
