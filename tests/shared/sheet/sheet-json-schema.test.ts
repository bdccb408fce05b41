import { expect, it } from 'vitest';
import published from '../../../shared/sheet/service-sheet.schema.json' with { type: 'json' };
import { sheetJsonSchema } from '../../../shared/sheet/sheet-json-schema.ts';

it('publishes the shape of a sheet file as it is now (node seeds/publish-sheet-schema.ts writes it)', () => {
  expect(published).toEqual(JSON.parse(JSON.stringify(sheetJsonSchema())));
});
