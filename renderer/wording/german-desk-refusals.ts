/** What those screens say when something cannot be taken, in German. */
export const germanDeskRefusals = {
  'shape.missing': '„{field}“ fehlt.',
  'shape.wrong_type': '„{field}“ hat die falsche Art: {message}.',
  'shape.unknown_field': '„{field}“ ist hier unbekannt. Namen berichtigen oder entfernen.',
  'shape.not_finite': '„{field}“ muss eine endliche Zahl sein.',
  'shape.other': '„{field}“: {message}.',
  'shape.notJson': 'Das ist kein JSON: {message}',
  'code.pins_differ': 'Die beiden neuen PINs sind verschieden. Beide noch einmal tippen.',
} as const;
