import { useSituation, useWording, useWorkbench } from '../workbench.ts';

const digits = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '0'] as const;

/** Digits for gloved fingers, for a PIN on a touch screen. */
export function Keypad() {
  const { hands } = useWorkbench();
  const { draft } = useSituation();
  const { say } = useWording();
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset would bring a frame of its own
    <div className="keypad" role="group" aria-label={say('signIn.keypad')}>
      {digits.map((digit) => (
        <button
          key={digit}
          type="button"
          className="action"
          onMouseDown={(event) => event.preventDefault()}
          onClick={() => hands.setDraft({ text: draft.text + digit })}
        >
          <span className="action-label">{digit}</span>
        </button>
      ))}
      <button
        type="button"
        className="action is-double"
        onMouseDown={(event) => event.preventDefault()}
        onClick={() => hands.setDraft({ text: draft.text.slice(0, -1) })}
      >
        <span className="action-label">{say('signIn.erase')}</span>
      </button>
    </div>
  );
}
