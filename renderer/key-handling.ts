import { actionOfKey } from './actions/all.ts';
import { isFunctionKey, keyOf } from './state/key.ts';
import { situationOf } from './state/situation.ts';
import type { Workbench } from './workbench.ts';

/**
 * The one place where keys become actions. A dialog keeps its keys to itself; Enter on a button or fold that has the
 * focus, and the arrows in a text of several lines or a list of the platform, belong to those. Letters go to the
 * entry of the moment, so that a scan is never lost because something else had the focus.
 */
export function handleKey(event: KeyboardEvent, workbench: Workbench): void {
  const key = keyOf(event);
  const ours = isFunctionKey(key);
  if (workbench.screenStore.getState().dialog !== null) {
    if (ours) event.preventDefault();
    return;
  }
  const target = event.target instanceof Element ? event.target : null;
  if (key === 'Enter' && target?.closest('button, a, summary, select, textarea') != null) return;
  if (
    key.startsWith('Arrow') &&
    target?.closest('select, textarea, input[type=range], [data-own-arrows]') != null
  ) {
    return;
  }
  const situation = situationOf(workbench.stationStore.getState(), workbench.screenStore.getState());
  const action = actionOfKey(workbench.actions, situation, key);
  if (action !== undefined) {
    event.preventDefault();
    if (!event.repeat) workbench.perform(action);
    return;
  }
  if (ours) event.preventDefault();
  const isText = event.key.length === 1 && !event.ctrlKey && !event.altKey && !event.metaKey;
  if (isText && target?.closest('input, textarea, select') == null) focusEntry();
}

/** Puts the focus where a scan or a number is meant to go. */
export function focusEntry(): void {
  document.querySelector<HTMLElement>('[data-entry]')?.focus();
}
