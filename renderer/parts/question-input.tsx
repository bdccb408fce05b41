import type { QuestionField } from '../state/screen-store.ts';
import { useWording } from '../workbench.ts';
import { labelOf } from './choice-list.tsx';

interface QuestionInputProperties {
  readonly field: QuestionField;
  readonly first: boolean;
  readonly value: string;
  readonly onChange: (value: string) => void;
}

/** The control of one field of a question, by its kind. */
export function QuestionInput({ field, first, value, onChange }: QuestionInputProperties) {
  const wording = useWording();
  const id = `question-${field.name}`;
  const firstMark = first ? { 'data-first': '' } : {};
  const choices =
    field.kind === 'person'
      ? (field.people ?? []).map(({ personId, name }) => ({ value: personId, label: name }))
      : (field.choices ?? []);
  if (field.kind === 'several') {
    const taken = value.split(' ').filter((part) => part !== '');
    return (
      // biome-ignore lint/a11y/useSemanticElements: the label of the field names the group
      <div className="several" role="group" id={id} aria-labelledby={`${id}-label`}>
        {choices.map((choice, index) => (
          <label key={choice.value}>
            <input
              type="checkbox"
              data-testid={`${id}-${choice.value}`}
              {...(index === 0 ? firstMark : {})}
              checked={taken.includes(choice.value)}
              onChange={(event) =>
                onChange(
                  choices
                    .map((one) => one.value)
                    .filter((one) =>
                      one === choice.value ? event.currentTarget.checked : taken.includes(one),
                    )
                    .join(' '),
                )
              }
            />
            <span>{labelOf(choice.label, wording)}</span>
          </label>
        ))}
      </div>
    );
  }
  if (field.kind === 'person' || field.kind === 'choice') {
    return (
      <select
        id={id}
        data-testid={id}
        {...firstMark}
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
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {labelOf(choice.label, wording)}
          </option>
        ))}
      </select>
    );
  }
  const isPin = field.kind === 'pin';
  return (
    <input
      id={id}
      data-testid={id}
      {...firstMark}
      type={isPin ? 'password' : 'text'}
      {...(field.scanned === true ? { 'data-scan': 'yes' } : {})}
      inputMode={isPin ? 'numeric' : field.kind === 'number' ? 'decimal' : 'text'}
      autoComplete="off"
      maxLength={isPin ? 20 : 2000}
      value={value}
      onChange={(event) => onChange(event.currentTarget.value)}
    />
  );
}
