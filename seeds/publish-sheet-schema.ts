import { writeFileSync } from 'node:fs';
import { sheetJsonSchema } from '../shared/sheet/sheet-json-schema.ts';

// Writes the published JSON Schema of service sheets. Run it after a change of the sheet's shape.
const target = new URL('../shared/sheet/service-sheet.schema.json', import.meta.url);
writeFileSync(target, `${JSON.stringify(sheetJsonSchema(), null, 2)}\n`);
