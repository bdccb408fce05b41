import { useId } from 'react';
import { labelOf } from '../../parts/choice-list.tsx';
import { isAtPath, type Plain, pathWithin, valueAt, withValueAt } from '../../state/sheet-draft.ts';
import { useWording } from '../../workbench.ts';
import { NumberInput } from './number-input.tsx';
import { PictureInput } from './picture-input.tsx';
import { RuleInput } from './rule-input.tsx';
import type { SheetField } from './sheet-fields.ts';
import { wrongMark } from './wrong-mark.ts';

interface SheetFieldProperties {
  readonly field: SheetField;
  /** The sheet or step that the field belongs to. */
  readonly of: Plain;
  /** Path of the field that a refusal speaks of, from `of`; null for none. */
  readonly wrong: string | null;
  readonly onChange: (next: Plain) => void;
}

/** One field of the form of a sheet, by its kind. */
export function SheetFieldInput({ field, of, wrong, onChange }: SheetFieldProperties) {
  const wording = useWording();
  const { say } = wording;
  const id = useId();
  const { path, kind, choices = [], optional = false } = field;
  const value = valueAt(of, path);
  const set = (next: unknown) => onChange(withValueAt(of, path, next) as Plain);
  const mayStayEmpty = optional ? ` (${say('field.optional')})` : '';
  const label = say(field.label) + mayStayEmpty;
  const testId = `field-${path}`;
  const mark = wrongMark(isAtPath(path, wrong));
  switch (kind) {
    case 'localized':
      return (
        <>
          {(['en', 'de'] as const).map((language) => (
            <div className="field is-text" key={language}>
              <label htmlFor={`${id}-${language}`}>
                {say(language === 'en' ? 'editor.english' : 'editor.german', { label: say(field.label) })}
                {mayStayEmpty}
              </label>
              <textarea
                id={`${id}-${language}`}
                data-testid={`${testId}.${language}`}
                {...wrongMark(isAtPath(`${path}.${language}`, wrong))}
                rows={3}
                value={String(valueAt(value, language) ?? '')}
                onChange={(event) => set(localizedWith(value, language, event.currentTarget.value, optional))}
              />
            </div>
          ))}
        </>
      );
    case 'flag':
      return (
        <label className="check-line">
          <input
            type="checkbox"
            data-testid={testId}
            {...mark}
            checked={value === true}
            onChange={(event) => set(event.currentTarget.checked)}
          />
          <span>{label}</span>
        </label>
      );
    case 'several': {
      const taken = Array.isArray(value) ? value : [];
      return (
        <fieldset className="field">
          <legend>{label}</legend>
          <div className="several">
            {choices.map((one) => (
              <label key={one.value}>
                <input
                  type="checkbox"
                  data-testid={`${testId}-${one.value}`}
                  {...mark}
                  checked={taken.includes(one.value)}
                  onChange={(event) => {
                    const checked = event.currentTarget.checked;
                    set(
                      choices
                        .map((other) => other.value)
                        .filter((other) => (other === one.value ? checked : taken.includes(other))),
                    );
                  }}
                />
                <span>{labelOf(one.label, wording)}</span>
              </label>
            ))}
          </div>
        </fieldset>
      );
    }
    case 'choice':
      return (
        <div className="field">
          <label htmlFor={id}>{label}</label>
          <select
            id={id}
            data-testid={testId}
            {...mark}
            value={typeof value === 'string' ? value : ''}
            onChange={(event) =>
              set(event.currentTarget.value === '' ? undefined : event.currentTarget.value)
            }
          >
            {optional && <option value="" />}
            {choices.map((one) => (
              <option key={one.value} value={one.value}>
                {labelOf(one.label, wording)}
              </option>
            ))}
          </select>
        </div>
      );
    case 'group':
      return <GroupInput field={field} of={of} wrong={wrong} onChange={onChange} />;
    case 'picture':
      return <PictureInput value={value} wrong={pathWithin(path, wrong)} onChange={set} />;
    case 'rule':
      return <RuleInput of={of} wrong={wrong} onChange={onChange} />;
    case 'number':
      return (
        <div className="field">
          <label htmlFor={id}>{label}</label>
          <NumberInput id={id} testId={testId} value={value} mark={mark} onChange={set} />
        </div>
      );
    case 'names':
      return (
        <div className="field">
          <label htmlFor={id}>{label}</label>
          <input
            id={id}
            data-testid={testId}
            {...mark}
            autoComplete="off"
            value={Array.isArray(value) ? value.join(', ') : ''}
            onChange={(event) => set(namesOf(event.currentTarget.value))}
          />
        </div>
      );
    case 'text':
      return (
        <div className="field">
          <label htmlFor={id}>{label}</label>
          <input
            id={id}
            data-testid={testId}
            {...mark}
            autoComplete="off"
            value={typeof value === 'string' ? value : ''}
            onChange={(event) => {
              const typed = event.currentTarget.value;
              set(typed === '' && optional ? undefined : typed);
            }}
          />
        </div>
      );
  }
}

/** Fields that a step has together or not at all. */
function GroupInput({ field, of, wrong, onChange }: SheetFieldProperties) {
  const { say } = useWording();
  const { path, fields = [], initial = {} } = field;
  const isThere = valueAt(of, path) !== undefined;
  return (
    <fieldset className="editor-group">
      <label className="check-line">
        <input
          type="checkbox"
          data-testid={`field-${path}`}
          {...wrongMark(wrong === path)}
          checked={isThere}
          onChange={(event) =>
            onChange(withValueAt(of, path, event.currentTarget.checked ? initial : undefined) as Plain)
          }
        />
        <span>{say(field.label)}</span>
      </label>
      {isThere &&
        fields.map((one) => (
          <SheetFieldInput key={one.path} field={one} of={of} wrong={wrong} onChange={onChange} />
        ))}
    </fieldset>
  );
}

/** A text of both languages with one side changed; an optional one that is empty is taken away. */
function localizedWith(value: unknown, language: 'en' | 'de', text: string, optional: boolean): unknown {
  const before = {
    en: String(valueAt(value, 'en') ?? ''),
    de: String(valueAt(value, 'de') ?? ''),
  };
  const next = { ...before, [language]: text };
  return optional && next.en === '' && next.de === '' ? undefined : next;
}

/** Names as they are typed: the last one may still be unfinished. */
function namesOf(typed: string): readonly string[] | undefined {
  if (typed.trim() === '') return undefined;
  return typed.split(',').map((name) => name.trimStart());
}
