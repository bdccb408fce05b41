import { useState } from 'react';
import type { Question, QuestionField } from '../state/screen-store.ts';
import type { CallFailure } from '../station-client.ts';
import { failureSentence } from '../wording/refusal-sentence.ts';
import { useWording, useWorkbench } from '../workbench.ts';
import { VerdictIcon } from './icons.tsx';
import { PageDialog } from './page-dialog.tsx';

/** Asks for a few fields, then does what they are for; a refusal stays here with what was typed. */
export function QuestionDialog({ question }: { readonly question: Question }) {
  const { hands } = useWorkbench();
  const wording = useWording();
  const { say } = wording;
  const [values, setValues] = useState<Readonly<Record<string, string>>>(() => initialValues(question));
  const [failure, setFailure] = useState<CallFailure | QuestionField | null>(null);
  const [busy, setBusy] = useState(false);
  const submit = async () => {
    const missing = question.fields.find(
      (field) => field.optional !== true && (values[field.name] ?? '').trim() === '',
    );
    if (missing !== undefined) return setFailure(missing);
    setBusy(true);
    hands.set({ outcome: null });
    const failed = await question.submit(trimmed(values));
    setBusy(false);
    if (failed === null) hands.set({ dialog: null, notice: null });
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
        <p>{say(question.explanation)}</p>
        <div className="question-fields">
          {question.fields.map((field, index) => (
            <div className="field" key={field.name}>
              <label htmlFor={`question-${field.name}`}>
                {say(field.label)}
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
        <button type="submit" className="action is-main" disabled={busy} data-testid="question-confirm">
          <kbd className="key">Enter ↵</kbd>
          <span className="action-label">{say(question.confirm)}</span>
        </button>
      </form>
    </PageDialog>
  );
}

interface QuestionInputProperties {
  readonly field: QuestionField;
  readonly first: boolean;
  readonly value: string;
  readonly onChange: (value: string) => void;
}

function QuestionInput({ field, first, value, onChange }: QuestionInputProperties) {
  const id = `question-${field.name}`;
  if (field.kind === 'person') {
    return (
      <select
        id={id}
        data-testid={id}
        {...(first ? { 'data-first': '' } : {})}
        value={value}
        onChange={(event) => onChange(event.currentTarget.value)}
        onKeyDown={(event) => {
          // The platform opens the list on Enter; here Enter means: take it.
          if (event.key !== 'Enter') return;
          event.preventDefault();
          event.currentTarget.form?.requestSubmit();
        }}
      >
        <option value="" />
        {(field.people ?? []).map(({ personId, name }) => (
          <option key={personId} value={personId}>
            {name}
          </option>
        ))}
      </select>
    );
  }
  return (
    <input
      id={id}
      data-testid={id}
      {...(first ? { 'data-first': '' } : {})}
      type={field.kind === 'pin' ? 'password' : 'text'}
      inputMode={field.kind === 'pin' ? 'numeric' : 'text'}
      autoComplete="off"
      maxLength={field.kind === 'pin' ? 20 : 2000}
      value={value}
      onChange={(event) => onChange(event.currentTarget.value)}
    />
  );
}

/** A single person to choose from is chosen already. */
function initialValues(question: Question): Record<string, string> {
  return Object.fromEntries(
    question.fields.map((field) => [
      field.name,
      field.people?.length === 1 ? (field.people[0]?.personId ?? '') : '',
    ]),
  );
}

function trimmed(values: Readonly<Record<string, string>>): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, value.trim()]));
}
