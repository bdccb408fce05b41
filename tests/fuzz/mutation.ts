import fc from 'fast-check';

type Json = null | boolean | number | string | Json[] | { [name: string]: Json };

/** Texts that have hurt programs before. */
export const hostileTexts = [
  '',
  ' ',
  '\u0000',
  '=1+1',
  '+cmd',
  '-2+3',
  '@SUM(A1)',
  '\tx',
  '\r\nx',
  '"',
  "'",
  ';',
  '../../etc/passwd',
  '..\\..\\x',
  '/etc/passwd',
  'C:\\x',
  'con',
  '%00',
  '__proto__',
  'constructor',
  'toString',
  '<script>alert(1)</script>',
  '{{7*7}}',
  "'; DROP TABLE event;--",
  '\ud800',
  '\u202egnp.exe',
  '１２',
  'NaN',
  'Infinity',
  '1e999',
  '0x10',
  '1_000',
  '-0',
  '9'.repeat(400),
  'x'.repeat(100_000),
] as const;

const hostileNumbers = [
  0,
  -0,
  -1,
  1,
  0.1,
  1e-320,
  5e-324,
  1e21,
  1.7976931348623157e308,
  -1.7976931348623157e308,
  2 ** 31,
  2 ** 53,
  2 ** 53 + 2,
  -(2 ** 63),
  1e100,
];

/** Any JSON value, with a liking for those that hurt. */
export const hostileValue: fc.Arbitrary<Json> = fc.oneof(
  { weight: 4, arbitrary: fc.constantFrom<Json>(...hostileTexts) },
  { weight: 4, arbitrary: fc.constantFrom<Json>(...hostileNumbers) },
  { weight: 2, arbitrary: fc.constantFrom<Json>(null, true, false, [], {}, [[]], { '': '' }) },
  { weight: 2, arbitrary: fc.string({ unit: 'binary' }) },
  { weight: 2, arbitrary: fc.double({ noNaN: true, noDefaultInfinity: true }) },
  { weight: 1, arbitrary: fc.integer({ min: 1, max: 300 }).map(nested) },
  { weight: 1, arbitrary: fc.integer({ min: 1, max: 5000 }).map((length) => Array(length).fill(0)) },
  { weight: 2, arbitrary: fc.jsonValue() as fc.Arbitrary<Json> },
);

function nested(depth: number): Json {
  let value: Json = [];
  for (let level = 0; level < depth; level += 1) value = level % 2 === 0 ? [value] : { a: value };
  return value;
}

/** How a valid document is spoiled: at which place (by chance), how, and with what. */
const mutation = fc.record({
  place: fc.nat(),
  kind: fc.constantFrom('replace', 'remove', 'add', 'double', 'swap'),
  name: fc.oneof(fc.constantFrom('__proto__', 'constructor', 'x', '0', 'length'), fc.string()),
  value: hostileValue,
});

/** A valid document with one to four spoiled places. */
export function spoiled(documents: readonly unknown[]): fc.Arbitrary<unknown> {
  return fc
    .tuple(fc.nat(documents.length - 1), fc.array(mutation, { minLength: 1, maxLength: 4 }))
    .map(([index, mutations]) => {
      let document = structuredClone(documents[index]) as Json;
      for (const { place, kind, name, value } of mutations) {
        document = mutate(document, place, (old) => changed(old, kind, name, value));
      }
      return document;
    });
}

/** JSON text of it, sometimes spoiled once more as text. */
export function spoiledText(documents: readonly unknown[]): fc.Arbitrary<string> {
  const cut = fc.record({
    at: fc.nat(),
    what: fc.constantFrom('', '}', '"', ',', '\u0000', '\ufeff', 'NaN'),
  });
  return fc.tuple(spoiled(documents), fc.option(cut, { freq: 4 })).map(([document, edit]) => {
    const text = JSON.stringify(document) ?? '';
    if (edit === null) return text;
    const at = edit.at % (text.length + 1);
    return text.slice(0, at) + edit.what + text.slice(at + 1);
  });
}

/** Applies a change at the n-th place of a document, counted through. */
function mutate(document: Json, place: number, change: (old: Json) => Json | undefined): Json {
  const total = countPlaces(document);
  let left = place % total;
  const visit = (value: Json): Json | undefined => {
    if (left === 0) {
      left -= 1;
      return change(value);
    }
    left -= 1;
    if (Array.isArray(value)) return value.flatMap((item) => visit(item) ?? []);
    if (value === null || typeof value !== 'object') return value;
    const copy: { [name: string]: Json } = {};
    for (const [name, item] of Object.entries(value)) {
      const seen = visit(item);
      // Not by assignment: `__proto__` must become a name like any other.
      if (seen !== undefined) Object.defineProperty(copy, name, propertyOf(seen));
    }
    return copy;
  };
  return visit(document) ?? null;
}

function countPlaces(value: Json): number {
  if (value === null || typeof value !== 'object') return 1;
  const items: readonly Json[] = Array.isArray(value) ? value : Object.values(value);
  return 1 + items.reduce((sum: number, item) => sum + countPlaces(item), 0);
}

function changed(old: Json, kind: string, name: string, value: Json): Json | undefined {
  if (kind === 'remove') return undefined;
  if (kind === 'double') return Array.isArray(old) ? [...old, ...old] : [old, old];
  if (kind === 'swap' && typeof old === 'number') return String(old);
  if (kind === 'swap' && typeof old === 'string') return old.length;
  if (kind === 'add' && old !== null && typeof old === 'object' && !Array.isArray(old)) {
    return Object.defineProperty({ ...old }, name, propertyOf(value));
  }
  if (kind === 'add' && Array.isArray(old)) return [...old, value];
  return value;
}

function propertyOf(value: Json): PropertyDescriptor {
  return { value, enumerable: true, configurable: true, writable: true };
}
