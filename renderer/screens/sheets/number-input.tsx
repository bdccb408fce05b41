import { useState } from 'react';
import { parseTypedNumber } from '../../../shared/quantity/typed-number.ts';
import { useWording } from '../../workbench.ts';
import type { WrongMark } from './wrong-mark.ts';

interface NumberInputProperties {
  readonly id: string;
  readonly testId: string;
  readonly value: unknown;
  readonly mark: WrongMark;
  readonly onChange: (value: unknown) => void;
}

/** A number as it is typed; what is none stays as text, so that saving names the field. */
export function NumberInput({ id, testId, value, mark, onChange }: NumberInputProperties) {
  const { decimalSign } = useWording();
  const [typed, setTyped] = useState(() =>
    value === undefined || value === null ? '' : String(value).replace('.', decimalSign),
  );
  return (
    <input
      id={id}
      data-testid={testId}
      {...mark}
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
