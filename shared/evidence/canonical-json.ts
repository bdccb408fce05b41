/** Plain data as JSON knows it. */
export type JsonValue = null | boolean | number | string | readonly JsonValue[] | JsonObject;
export interface JsonObject {
  readonly [name: string]: JsonValue | undefined;
}

/** No evidence of ours nests deeper; deeper input is somebody's trick against the stack. */
const deepest = 200;

/**
 * Canonical JSON text (RFC 8785): no white space, names sorted by UTF-16 code units (3.2.3), numbers and
 * strings as ECMAScript writes them (3.2.2). Properties that are `undefined` are left out as JSON.stringify does.
 *
 * @throws TypeError for what RFC 8785 refuses or JSON cannot say: NaN, infinities, lone surrogates (3.2.2.2),
 * functions, class instances, `undefined` in a list, nesting beyond 200.
 */
export function canonicalJson(value: unknown): string {
  return write(value, 0);
}

function write(value: unknown, depth: number): string {
  switch (typeof value) {
    case 'string':
      return writeString(value);
    case 'number':
      if (!Number.isFinite(value)) throw new TypeError(`canonical JSON has no number ${value}`);
      return String(value === 0 ? 0 : value);
    case 'boolean':
      return value ? 'true' : 'false';
    case 'object':
      break;
    default:
      throw new TypeError(`canonical JSON has no ${typeof value}`);
  }
  if (value === null) return 'null';
  if (depth >= deepest) throw new TypeError(`canonical JSON: nested deeper than ${deepest}`);
  if (Array.isArray(value)) return writeList(value, depth);
  const prototype = Object.getPrototypeOf(value);
  if (prototype !== Object.prototype && prototype !== null) {
    throw new TypeError('canonical JSON takes plain objects only');
  }
  return writeObject(value, depth);
}

function writeList(value: readonly unknown[], depth: number): string {
  let text = '[';
  for (let index = 0; index < value.length; index++) {
    if (index > 0) text += ',';
    text += write(value[index], depth + 1);
  }
  return `${text}]`;
}

function writeObject(value: object, depth: number): string {
  let text = '{';
  const names = Object.keys(value);
  // Comparison and default order of strings are by UTF-16 code units, as RFC 8785, 3.2.3 asks.
  if (!isInOrder(names)) names.sort();
  for (const name of names) {
    const property = (value as Record<string, unknown>)[name];
    if (property === undefined) continue;
    if (text.length > 1) text += ',';
    text += writeName(name);
    text += write(property, depth + 1);
  }
  return `${text}}`;
}

function isInOrder(names: readonly string[]): boolean {
  for (let index = 1; index < names.length; index++)
    if ((names[index - 1] ?? '') > (names[index] ?? '')) return false;
  return true;
}

/** Names as they are written: evidence has few, and each many times. */
const writtenNames = new Map<string, string>();
const mostNames = 1000;

function writeName(name: string): string {
  const known = writtenNames.get(name);
  if (known !== undefined) return known;
  const written = `${writeString(name)}:`;
  if (writtenNames.size < mostNames && name.length < 100) writtenNames.set(name, written);
  return written;
}

/** What JSON writes as it stands, between quotation marks. */
const plain = /^[ !#-[\]-~]*$/;

function writeString(value: string): string {
  if (value.length < 100 && plain.test(value)) return `"${value}"`;
  if (!value.isWellFormed()) throw new TypeError('canonical JSON: lone surrogate in a string');
  return JSON.stringify(value);
}
