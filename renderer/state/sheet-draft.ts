import type { ServiceSheet } from '../../shared/sheet/sheet.ts';

/** A sheet while it is written: whole or not, it is checked when it is saved. */
export interface SheetDraft {
  readonly sheet: ServiceSheet;
  /** Place of the step that is shown. */
  readonly stepIndex: number;
  /** Not null: the whole sheet is written as JSON. */
  readonly json: string | null;
  /** The editor is on the screen; false while the sheets are looked at. */
  readonly isOpen: boolean;
}
