import { useRef } from 'react';
import type { MenuName } from '../state/screen-store.ts';
import { useActions, useSituation, useWording, useWorkbench } from '../workbench.ts';
import { KeyCap } from './key-cap.tsx';
import { PageDialog } from './page-dialog.tsx';

/** A menu of actions: arrows move, Enter does, Escape closes. */
export function MenuDialog({ menu }: { readonly menu: MenuName }) {
  const { hands, perform } = useWorkbench();
  const situation = useSituation();
  const { say } = useWording();
  const actions = useActions(menu === 'screens' ? 'screens menu' : 'job menu');
  const list = useRef<HTMLUListElement>(null);
  const move = (by: 1 | -1) => {
    const buttons: HTMLElement[] = [...(list.current?.querySelectorAll<HTMLElement>('button:enabled') ?? [])];
    const at = document.activeElement instanceof HTMLElement ? buttons.indexOf(document.activeElement) : -1;
    buttons[at === -1 ? 0 : (at + by + buttons.length) % buttons.length]?.focus();
  };
  return (
    <PageDialog title={say(menu === 'screens' ? 'menu.screens' : 'menu.job')} wide>
      <p>{say('menu.hint')}</p>
      <ul
        className="menu"
        ref={list}
        onKeyDown={(event) => {
          if (event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
          event.preventDefault();
          move(event.key === 'ArrowDown' ? 1 : -1);
        }}
      >
        {actions.map((action, index) => (
          <li key={action.id}>
            <button
              type="button"
              className="action"
              {...(index === actions.findIndex((candidate) => candidate.enabled(situation))
                ? { 'data-first': '' }
                : {})}
              disabled={!action.enabled(situation)}
              data-testid={`action-${action.id}`}
              onClick={() => {
                hands.set({ dialog: null });
                perform(action);
              }}
            >
              {action.key !== null && <KeyCap name={action.key} />}
              <span className="action-label">{say(action.label(situation))}</span>
            </button>
          </li>
        ))}
      </ul>
    </PageDialog>
  );
}
