import { useId, useState } from 'react';
import { ruleSources } from '../../../shared/acceptance/rule.ts';
import { parseTypedNumber } from '../../../shared/quantity/typed-number.ts';
import { labelOf } from '../../parts/choice-list.tsx';
import { type Plain, valueAt, withValueAt } from '../../state/sheet-draft.ts';
import { useWording } from '../../workbench.ts';
import type { SheetField } from './sheet-fields.ts';

interface SheetFieldProperties {
  readonly field: SheetField;
  /** The sheet or step that the field belongs to. */
  readonly of: Plain;
  readonly onChange: (next: Plain) => void;
}

/** One field of the form of a sheet, by its kind. */
export function SheetFieldInput({ field, of, onChange }: SheetFieldProperties) {
  const wording = useWording();
  const { say } = wording;
  const id = useId();
  const { path, kind, choices = [], optional = false } = field;
  const value = valueAt(of, path);
  const set = (next: unknown) => onChange(withValueAt(of, path, next) as Plain);
  const label = say(field.label) + (optional ? ` (${say('field.optional')})` : '');
  const testId = `field-${path}`;
  switch (kind) {
    case 'localized':
      return (
        <>
          {(['en', 'de'] as const).map((language) => (
            <div className="field is-text" key={language}>
              <label htmlFor={`${id}-${language}`}>
                {say(language === 'en' ? 'editor.english' : 'editor.german', { label })}
              </label>
              <textarea
                id={`${id}-${language}`}
                data-testid={`${testId}.${language}`}
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
    case 'rule':
      return <RuleInput of={of} onChange={onChange} />;
    case 'number':
      return (
        <div className="field">
          <label htmlFor={id}>{label}</label>
          <NumberInput id={id} testId={testId} value={value} onChange={set} />
        </div>
      );
    case 'names':
      return (
        <div className="field">
          <label htmlFor={id}>{label}</label>
          <input
            id={id}
            data-testid={testId}
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

interface NumberInputProperties {
  readonly id: string;
  readonly testId: string;
  readonly value: unknown;
  readonly onChange: (value: unknown) => void;
}

/** A number as it is typed; what is none stays as text, so that saving names the field. */
function NumberInput({ id, testId, value, onChange }: NumberInputProperties) {
  const { decimalSign } = useWording();
  const [typed, setTyped] = useState(() =>
    value === undefined || value === null ? '' : String(value).replace('.', decimalSign),
  );
  return (
    <input
      id={id}
      data-testid={testId}
      inputMode="decimal"
      autoComplete="off"
      value={typed}
      onChange={(event) => {
        const text = event.currentTarget.value;
        setTyped(text);
        const number = parseTypedNumber(text, decimalSign);
        onChange(text.trim() === '' ? undefined : number.ok ? Number(number.value.text) : text);
      }}
    />
  );
}

const rules = {
  simple: { kind: 'simple', source: ruleSources.simple },
  guarded: { kind: 'guarded', factor: 1, source: ruleSources.guarded },
  conformance: { kind: 'conformance', probability: 0.95, source: ruleSources.conformance },
} as const;
const ruleKinds = ['simple', 'guarded', 'conformance'] as const;

/** The kind of a decision rule and its one number. */
function RuleInput({ of, onChange }: Pick<SheetFieldProperties, 'of' | 'onChange'>) {
  const { say } = useWording();
  const id = useId();
  const rule = valueAt(of, 'rule');
  const kind = ruleKinds.find((known) => known === valueAt(rule, 'kind')) ?? 'simple';
  const set = (next: unknown) => onChange(withValueAt(of, 'rule', next) as Plain);
  const part = kind === 'guarded' ? 'factor' : 'probability';
  return (
    <>
      <div className="field">
        <label htmlFor={id}>{say('sheetField.rule')}</label>
        <select
          id={id}
          data-testid="field-rule.kind"
          value={kind}
          onChange={(event) => {
            const chosen = ruleKinds.find((known) => known === event.currentTarget.value);
            if (chosen !== undefined) set(rules[chosen]);
          }}
        >
          {ruleKinds.map((one) => (
            <option key={one} value={one}>
              {say(`sheetField.rule.${one}`)}
            </option>
          ))}
        </select>
      </div>
      {kind !== 'simple' && (
        <div className="field">
          <label htmlFor={`${id}-part`}>{say(`sheetField.${part}`)}</label>
          <NumberInput
            key={kind}
            id={`${id}-part`}
            testId={`field-rule.${part}`}
            value={valueAt(rule, part)}
            onChange={(value) => set(withValueAt(rule, part, value))}
          />
        </div>
      )}
    </>
  );
}
