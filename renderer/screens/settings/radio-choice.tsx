interface RadioChoiceProperties<Value extends string> {
  readonly name: string;
  readonly label: string;
  readonly value: Value;
  readonly choices: readonly { readonly value: Value; readonly label: string }[];
  readonly onChange: (value: Value) => void;
}

/** One of a few, by the platform's own radio buttons: arrows move and choose. */
export function RadioChoice<Value extends string>(properties: RadioChoiceProperties<Value>) {
  const { name, label, value, choices, onChange } = properties;
  return (
    <fieldset className="radio-choice" data-own-arrows="">
      <legend>{label}</legend>
      {choices.map((choice) => (
        <label key={choice.value}>
          <input
            type="radio"
            name={name}
            data-testid={`${name}-${choice.value}`}
            checked={choice.value === value}
            onChange={() => onChange(choice.value)}
          />
          <span>{choice.label}</span>
        </label>
      ))}
    </fieldset>
  );
}
