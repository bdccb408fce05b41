import { printDocument } from './print-document.ts';

/** Opens the tag label as a document to print. */
export const printLabel = printDocument('label', {
  id: 'print-label',
  key: 'Shift+F3',
  label: () => 'action.printLabel',
});
