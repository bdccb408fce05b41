import { useEffect, useId, useRef } from 'react';
import { useSituation, useWorkbench } from '../workbench.ts';

interface EntryFieldProperties {
  readonly label: string;
  readonly hint?: string;
  readonly kind?: 'text' | 'number' | 'secret';
  /** Which half of the draft it writes. */
  readonly part?: 'text' | 'second';
  /** This field is where scans and the focus belong. */
  readonly entry?: boolean;
  /** A badge, serial or lot is scanned here (`yes`), or nothing ever is (`no`); left out: whoever has the focus. */
  readonly scan?: 'yes' | 'no';
  readonly unit?: string;
  readonly testId?: string;
}

/** A field of the moment in hand; Enter does the main action. */
export function EntryField(properties: EntryFieldProperties) {
  const {
    label,
    hint,
    kind = 'text',
    part = 'text',
    entry = true,
    scan,
    unit,
    testId = 'entry',
  } = properties;
  const { draft, screen } = useSituation();
  const { hands } = useWorkbench();
  const id = useId();
  const input = useRef<HTMLInputElement>(null);
  const refused = screen.notice?.tone === 'refused' ? screen.notice : null;
  useEffect(() => {
    // What was refused stays to be read; the next scan takes its place instead of being added to it.
    if (refused !== null && input.current === document.activeElement) input.current?.select();
  }, [refused]);
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <div className="field-row">
        <input
          ref={input}
          id={id}
          data-testid={testId}
          type={kind === 'secret' ? 'password' : 'text'}
          inputMode={kind === 'number' ? 'decimal' : kind === 'secret' ? 'numeric' : 'text'}
          autoComplete="off"
          autoCapitalize="off"
          autoCorrect="off"
          spellCheck={false}
          value={draft[part]}
          maxLength={kind === 'secret' ? 20 : 200}
          onChange={(event) => hands.setDraft({ [part]: event.currentTarget.value })}
          {...(entry ? { 'data-entry': '' } : {})}
          {...(scan === undefined ? {} : { 'data-scan': scan })}
          {...(hint === undefined ? {} : { 'aria-describedby': `${id}-hint` })}
        />
        {unit !== undefined && <span className="field-unit">{unit}</span>}
      </div>
      {hint !== undefined && (
        <p id={`${id}-hint`} className="field-hint">
          {hint}
        </p>
      )}
    </div>
  );
}
