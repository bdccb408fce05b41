import { useEffect, useId, useRef } from 'react';
import { type ChoiceText, chosen } from '../state/situation.ts';
import type { Wording } from '../wording/wording.ts';
import { useSituation, useWording, useWorkbench } from '../workbench.ts';

/** A label of a choice in the language of the screen. */
export function labelOf(text: ChoiceText, wording: Wording): string {
  if (typeof text === 'string') return text;
  if (!('key' in text)) return wording.of(text);
  const { key, left, unit, day, parameters } = text;
  return wording.say(key, {
    ...parameters,
    ...(left === undefined
      ? {}
      : { left: `${wording.decimal(String(Number(left.toFixed(2))))} ${unit ?? ''}` }),
    ...(day === undefined ? {} : { day: wording.day(day) }),
  });
}

/**
 * The choices of the moment. The arrows move and Enter takes, wherever the focus is; a touch chooses.
 * `entry`: this list is where the focus belongs.
 */
export function ChoiceList({ label, entry = false }: { readonly label: string; readonly entry?: boolean }) {
  const situation = useSituation();
  const { hands } = useWorkbench();
  const wording = useWording();
  const id = useId();
  const picked = chosen(situation);
  const list = useRef<HTMLDivElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another choice comes into sight
  useEffect(() => {
    list.current?.querySelector('[aria-selected=true]')?.scrollIntoView({ block: 'nearest' });
  }, [picked?.id]);
  const activeIndex = situation.choices.findIndex((choice) => choice.id === picked?.id);
  return (
    <div
      ref={list}
      className="choices"
      role="listbox"
      aria-label={label}
      tabIndex={0}
      {...(entry ? { 'data-entry': '' } : {})}
      {...(activeIndex >= 0 ? { 'aria-activedescendant': `${id}-${activeIndex}` } : {})}
    >
      {situation.choices.map((choice, index) => (
        // biome-ignore lint/a11y/useKeyWithClickEvents: the arrows are actions of the whole screen
        <div
          key={choice.id}
          id={`${id}-${index}`}
          role="option"
          tabIndex={-1}
          aria-selected={choice.id === picked?.id}
          className="choice"
          data-testid={`choice-${choice.id}`}
          onMouseDown={(event) => event.preventDefault()}
          onClick={() => hands.setDraft({ choice: index })}
        >
          <span className="choice-mark" aria-hidden="true" />
          <span className="choice-label">{labelOf(choice.label, wording)}</span>
          {choice.detail !== undefined && (
            <span className="choice-detail">{labelOf(choice.detail, wording)}</span>
          )}
        </div>
      ))}
    </div>
  );
}
