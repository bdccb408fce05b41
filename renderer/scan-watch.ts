import { followKey, noKeys, usualWedgeSettings } from '../shared/wedge.ts';
import { judgeScan } from './state/scan.ts';
import type { Workbench } from './workbench.ts';

/** Follows the keys for input of devices that type: barcode readers, and instruments set to be a keyboard. */
export interface ScanWatch {
  /** Follows a key. True where it ended a scan in a wrong place: it is dealt with and must do nothing more. */
  takes(event: KeyboardEvent): boolean;
  /** After the key was handled, before its character comes: where it goes, should it turn out to begin a scan. */
  note(event: KeyboardEvent): void;
}

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

/**
 * Characters are shown as they come, since most are a person's; at the end of a scan in a wrong place they are taken
 * away again.
 *
 * @param enter does what Enter does in the entry of the moment
 */
export function createScanWatch(
  { screenStore, settingsStore, hands }: Workbench,
  enter: () => void,
): ScanWatch {
  let state = noKeys;
  let before: { readonly field: Field; readonly value: string } | null = null;

  return {
    takes(event) {
      const isChord = (event.ctrlKey || event.altKey || event.metaKey) && !event.getModifierState('AltGraph');
      if (isChord || event.repeat || event.isComposing) {
        state = noKeys;
        return false;
      }
      const settings = { ...usualWedgeSettings, prefix: settingsStore.getState().scanPrefix };
      const next = followKey(settings, state, { key: event.key, atMilliseconds: event.timeStamp });
      state = next.state;
      const inDialog = screenStore.getState().dialog !== null;
      const entry = document.querySelector<HTMLInputElement>(
        inDialog ? 'dialog[open] [data-scan=yes]' : '[data-entry][data-scan=yes]',
      );
      const verdict = judgeScan(next.outcome, {
        fieldTakesScans:
          document.activeElement?.matches(
            ':is(input, textarea)[data-entry]:not([data-scan=no]), [data-scan=yes]',
          ) ?? false,
        hasScanEntry: entry !== null,
      });
      switch (verdict.kind) {
        case 'leave':
          return false;
        case 'without prefix':
          if (before !== null) write(before.field, verdict.text);
          return false;
        case 'unused':
          giveBack();
          event.preventDefault();
          hands.say({ tone: 'refused', key: 'scan.unused' });
          return true;
        case 'to entry':
          giveBack();
          event.preventDefault();
          entry?.focus();
          if (entry !== null) write(entry, verdict.text);
          // A question has more fields; a person sends it off.
          if (!inDialog) enter();
          return true;
      }
    },
    note(event) {
      if (state.text !== event.key) return;
      const field = document.activeElement;
      before = isField(field) ? { field, value: field.value } : null;
    },
  };

  function giveBack(): void {
    if (before !== null && before.field.value !== before.value) write(before.field, before.value);
  }
}

function isField(element: Element | null): element is Field {
  return (
    element instanceof HTMLInputElement ||
    element instanceof HTMLTextAreaElement ||
    element instanceof HTMLSelectElement
  );
}

/** Writes into a field as if it were typed: React listens to the setter of the platform alone. */
function write(field: Field, value: string): void {
  const prototype = Object.getPrototypeOf(field);
  Object.getOwnPropertyDescriptor(prototype, 'value')?.set?.call(field, value);
  field.dispatchEvent(new Event('input', { bubbles: true }));
  if (field instanceof HTMLSelectElement) field.dispatchEvent(new Event('change', { bubbles: true }));
}
