import { actionOfKey } from './actions/all.ts';
import { createScanWatch } from './scan-watch.ts';
import { isFunctionKey, keyOf } from './state/key.ts';
import { closedDialog } from './state/screen-store.ts';
import { situationOf } from './state/situation.ts';
import type { Workbench } from './workbench.ts';

/** Listens to all keys: what a scanner types in a wrong place first, then what a person does. */
export function createKeyListener(workbench: Workbench): (event: KeyboardEvent) => void {
  const scans = createScanWatch(workbench, () => {
    const action = actionNow('Enter', workbench);
    if (action !== undefined) workbench.perform(action);
  });
  return (event) => {
    if (scans.takes(event)) {
      event.stopImmediatePropagation();
      return;
    }
    handleKey(event, workbench);
    scans.note(event);
  };
}

/**
 * The one place where keys become actions. A dialog keeps its keys to itself, Escape closes it; Enter on a button or fold that has the
 * focus, and the arrows in a text of several lines or a list of the platform, belong to those. Letters go to the
 * entry of the moment, so that a scan is never lost because something else had the focus.
 */
function handleKey(event: KeyboardEvent, workbench: Workbench): void {
  const key = keyOf(event);
  const ours = isFunctionKey(key);
  const screen = workbench.screenStore.getState();
  if (screen.dialog !== null) {
    if (ours) event.preventDefault();
    // The platform would say so later, and the next key would still go to the dialog.
    if (key === 'Escape') {
      event.preventDefault();
      workbench.hands.set(closedDialog(screen));
    }
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
  const action = actionNow(key, workbench);
  if (action !== undefined) {
    event.preventDefault();
    if (!event.repeat) workbench.perform(action);
    return;
  }
  if (ours) event.preventDefault();
  const isText = event.key.length === 1 && !event.ctrlKey && !event.altKey && !event.metaKey;
  if (isText && target?.closest('input, textarea, select') == null) focusEntry();
}

function actionNow(key: string, { actions, stationStore, screenStore }: Workbench) {
  return actionOfKey(actions, situationOf(stationStore.getState(), screenStore.getState()), key);
}

/** Puts the focus where a scan or a number is meant to go. */
export function focusEntry(): void {
  document.querySelector<HTMLElement>('[data-entry]')?.focus();
}
