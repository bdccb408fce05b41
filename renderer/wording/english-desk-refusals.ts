/** What those screens say when something cannot be taken, in English; `shape.` names what a schema finds. */
export const englishDeskRefusals = {
  'shape.missing': '“{field}” is missing.',
  'shape.wrong_type': '“{field}” is of the wrong kind: {message}.',
  'shape.unknown_field': '“{field}” is not known here. Correct its name or remove it.',
  'shape.not_finite': '“{field}” must be a finite number.',
  'shape.other': '“{field}”: {message}.',
  'shape.notJson': 'This is no JSON: {message}',
  'code.pins_differ': 'The two new PINs differ. Type both again.',
} as const;
