import { z } from 'zod';
import { serviceSheetSchema, sheetFormat } from './sheet.ts';

/**
 * The shape of a sheet file as JSON Schema (2020-12), for editors and other programs. It says what the shape
 * can say; order, interlocks and units are checked by `readSheet` when the file is read.
 */
export function sheetJsonSchema(): object {
  return {
    ...z.toJSONSchema(serviceSheetSchema, { io: 'input', reused: 'ref' }),
    $id: `urn:bandwright:${sheetFormat}`,
    title: 'Bandwright service sheet',
  };
}
