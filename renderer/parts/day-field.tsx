import { useState } from 'react';
import { parseTypedDay, typedDay } from '../state/typed-day.ts';
import { useWording } from '../workbench.ts';

interface DayFieldProperties {
  readonly label: string;
  readonly testId: string;
  /** ISO 8601; a text that is no day where one was typed. */
  readonly value: string;
  /** An ISO 8601 day, the empty text, or what was typed where it is no day. */
  readonly onChange: (value: string) => void;
}

/** A day typed as in the language of the screen: the field of the platform follows that of the computer. */
export function DayField({ label, testId, value, onChange }: DayFieldProperties) {
  const { say, language } = useWording();
  const [typed, setTyped] = useState({ value, text: typedDay(value, language) });
  // What was changed from elsewhere (a kept view, all fields emptied) stands there anew.
  const text = typed.value === value ? typed.text : typedDay(value, language);
  const isNoDay = value !== '' && parseTypedDay(value, language) === null;
  return (
    <label className="filter-field">
      <span>{label}</span>
      <input
        type="text"
        inputMode="numeric"
        autoComplete="off"
        maxLength={10}
        data-testid={testId}
        placeholder={say('field.dayPlaceholder')}
        value={text}
        aria-invalid={isNoDay}
        onChange={(event) => {
          const now = event.currentTarget.value;
          const next = now.trim() === '' ? '' : (parseTypedDay(now, language) ?? now);
          setTyped({ value: next, text: now });
          onChange(next);
        }}
      />
    </label>
  );
}
