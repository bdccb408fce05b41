import { useEffect, useId, useRef } from 'react';

export interface DeskItem {
  readonly id: string;
  readonly label: string;
  readonly detail?: string;
  /** Stands before the label: shape of a state. */
  readonly mark?: React.ReactNode;
}

interface DeskListProperties {
  readonly label: string;
  readonly items: readonly DeskItem[];
  readonly chosenId: string | undefined;
  readonly onChoose: (id: string) => void;
  readonly testId?: string;
  /** This list is where the focus belongs. Default true. */
  readonly entry?: boolean;
}

/** The list at the left of a desk screen: arrows, Home and End choose; so does a touch. */
export function DeskList({
  label,
  items,
  chosenId,
  onChoose,
  testId = 'desk-list',
  entry = true,
}: DeskListProperties) {
  const id = useId();
  const list = useRef<HTMLDivElement>(null);
  const at = items.findIndex((item) => item.id === chosenId);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another choice comes into sight
  useEffect(() => {
    const box = list.current;
    if (box === null) return;
    showChosen(box);
    const observer = new ResizeObserver(() => {
      if (box.scrollHeight > box.clientHeight) showChosen(box);
    });
    observer.observe(box);
    return () => observer.disconnect();
  }, [chosenId]);
  // What it lists may come later than the screen.
  const isEmpty = items.length === 0;
  useEffect(() => {
    if (entry && !isEmpty && document.activeElement === document.body) list.current?.focus();
  }, [entry, isEmpty]);
  const onKeyDown = (event: React.KeyboardEvent) => {
    const last = items.length - 1;
    const next = {
      ArrowDown: Math.min(last, at + 1),
      ArrowUp: Math.max(0, at - 1),
      Home: 0,
      End: last,
    }[event.key];
    const item = next === undefined ? undefined : items[next];
    if (item === undefined) return;
    event.preventDefault();
    onChoose(item.id);
  };
  return (
    <div
      ref={list}
      className="desk-list"
      role="listbox"
      aria-label={label}
      tabIndex={0}
      data-own-arrows=""
      data-testid={testId}
      onKeyDown={onKeyDown}
      {...(entry ? { 'data-entry': '' } : {})}
      {...(at >= 0 ? { 'aria-activedescendant': `${id}-${at}` } : {})}
    >
      {items.map((item, index) => (
        // biome-ignore lint/a11y/useKeyWithClickEvents: the arrows are keys of the list
        <div
          key={item.id}
          id={`${id}-${index}`}
          role="option"
          tabIndex={-1}
          aria-selected={item.id === chosenId}
          className="desk-item"
          data-testid={`item-${item.id}`}
          onClick={() => onChoose(item.id)}
        >
          {item.mark}
          <span className="desk-item-label">{item.label}</span>
          {item.detail !== undefined && <span className="desk-item-detail">{item.detail}</span>}
        </div>
      ))}
    </div>
  );
}

/** Scrolls the list alone; the page only where the list is as long as its entries. */
function showChosen(list: HTMLElement): void {
  const item = list.querySelector<HTMLElement>('[aria-selected=true]');
  if (item === null) return;
  if (list.scrollHeight <= list.clientHeight) {
    item.scrollIntoView({ block: 'nearest' });
    return;
  }
  const [inner, outer] = [item.getBoundingClientRect(), list.getBoundingClientRect()];
  if (inner.top < outer.top) list.scrollTop += inner.top - outer.top;
  else if (inner.bottom > outer.bottom) list.scrollTop += inner.bottom - outer.bottom;
}
