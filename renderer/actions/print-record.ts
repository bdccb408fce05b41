import { printDocument } from './print-document.ts';

/** Opens the service record as a document to print. */
export const printRecord = printDocument('record', {
  id: 'print-record',
  key: 'F3',
  label: () => 'action.printRecord',
});
