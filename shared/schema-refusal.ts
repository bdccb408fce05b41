import type { z } from 'zod';
import { ok, type Refusal, type RefusalValues, type Result, refuse } from './result.ts';

type Issue = z.core.$ZodIssue;

/** Path as people write it: `contributions[1].unit`. */
function fieldOf(path: readonly PropertyKey[]): string {
  return path.reduce<string>((text, step) => {
    if (typeof step === 'number') return `${text}[${step}]`;
    return text === '' ? String(step) : `${text}.${String(step)}`;
  }, '');
}

const articles: Readonly<Record<string, string>> = {
  array: 'a list',
  boolean: 'true or false',
  int: 'a whole number',
  number: 'a number',
  object: 'an object',
  record: 'an object',
  string: 'text',
};

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}

function shown(value: unknown): string {
  if (typeof value === 'string') return `the text "${value.slice(0, 40)}"`;
  if (typeof value === 'number' || value === null || typeof value === 'boolean') return String(value);
  return Array.isArray(value) ? 'a list' : 'an object';
}

/** NaN and infinities come as numbers, or as the words that a lenient reader put in their place. */
function isNotFinite(value: unknown): boolean {
  return (typeof value === 'number' && !Number.isFinite(value)) || /^-?(NaN|Infinity)$/.test(String(value));
}

/** A value as it may be quoted in a sentence of any language: numbers and texts as they are, all else as JSON. */
function quoted(value: unknown): string | number {
  if (typeof value === 'number') return value;
  return shortened(typeof value === 'string' ? value : (JSON.stringify(value) ?? ''), 40);
}

function refusalOfIssue(issue: Issue, prefix: readonly PropertyKey[]): Refusal {
  const path = [...prefix, ...issue.path];
  const field = fieldOf(path);
  switch (issue.code) {
    case 'invalid_type': {
      const expected = articles[issue.expected] ?? issue.expected;
      if (isNotFinite(issue.input)) {
        return {
          code: 'not_finite',
          field,
          message: `must be a finite number, not ${issue.input}; give a decimal number`,
        };
      }
      if (issue.input === undefined) return { code: 'missing', field, message: `missing; give ${expected}` };
      return {
        code: 'wrong_type',
        field,
        message: `must be ${expected}, not ${shown(issue.input)}`,
        values: { expected: issue.expected, given: quoted(issue.input) },
      };
    }
    case 'unrecognized_keys': {
      const key = issue.keys[0] ?? '';
      return {
        code: 'unknown_field',
        field: fieldOf([...path, key]),
        message: 'is not a field here; correct its name or remove it',
      };
    }
    case 'invalid_value': {
      const choices = issue.values.map(String).join(', ');
      if (issue.input === undefined) {
        return { code: 'missing', field, message: `missing; give one of ${choices}`, values: { choices } };
      }
      return {
        code: 'not_a_choice',
        field,
        message: `${shown(issue.input)} is not one of ${choices}`,
        values: { given: quoted(issue.input), choices },
      };
    }
    case 'invalid_union':
      return refusalOfUnion(issue, path, field);
    case 'too_small':
    case 'too_big':
      return {
        code: issue.code,
        field,
        message: isOwnMessage(issue) ? issue.message : boundInWords(issue),
        values: boundValues(issue),
      };
    case 'invalid_format':
      return {
        code: issue.code,
        field,
        message: issue.message,
        values: { format: issue.format, given: quoted(issue.input) },
      };
    case 'custom':
      return { code: 'invalid', field, message: issue.message, ...ownCode(issue) };
    default:
      return { code: issue.code, field, message: issue.message };
  }
}

/** The code and values that a schema of ours gives with its own check: `params: { code, values }`. */
function ownCode({ params, input }: Issue & { code: 'custom' }): Partial<Refusal> {
  const { code, values } = params ?? {};
  if (typeof code !== 'string') return {};
  return { code, values: { given: quoted(input), ...(isRecord(values) ? (values as RefusalValues) : {}) } };
}

/** True where the schema brought its own words. */
function isOwnMessage(issue: Issue): boolean {
  return !/^Too (small|big)/.test(issue.message);
}

function boundInWords(issue: Issue & { code: 'too_small' | 'too_big' }): string {
  const isLower = issue.code === 'too_small';
  const bound = isLower ? issue.minimum : issue.maximum;
  const isCount = issue.origin === 'array' || issue.origin === 'set' || issue.origin === 'string';
  const things = issue.origin === 'string' ? 'characters' : 'entries';
  if (isCount) return `must have at ${isLower ? 'least' : 'most'} ${bound} ${things}`;
  if (issue.inclusive === false) return `must be ${isLower ? 'above' : 'below'} ${bound}`;
  return `must be ${bound} or ${isLower ? 'more' : 'less'}`;
}

/** What a bound is of (`of`: a number, a text, a list), and whether it is allowed itself. */
function boundValues(issue: Issue & { code: 'too_small' | 'too_big' }): RefusalValues {
  const origin = issue.origin === 'array' || issue.origin === 'set' ? 'list' : issue.origin;
  return {
    bound: Number(issue.code === 'too_small' ? issue.minimum : issue.maximum),
    of: origin === 'list' || origin === 'string' ? origin : 'number',
    beyond: issue.inclusive === false ? 'yes' : 'no',
    given: quoted(issue.input),
  };
}

function refusalOfUnion(
  issue: Issue & { code: 'invalid_union' },
  path: readonly PropertyKey[],
  field: string,
): Refusal {
  const options = 'options' in issue && Array.isArray(issue.options) ? issue.options : null;
  if (options !== null) {
    const key = issue.path.at(-1);
    const holder = issue.input;
    const given = isRecord(holder) && typeof key === 'string' ? holder[key] : undefined;
    return {
      code: given === undefined ? 'missing' : 'not_a_choice',
      field,
      message: `${given === undefined ? 'missing' : `${shown(given)} is not known`}; give one of ${options.join(', ')}`,
      values: { given: quoted(given), choices: options.join(', ') },
    };
  }
  // The branch that was meant knows every key given; then the one whose complaint lies deepest.
  const unknownKeys = (issues: readonly Issue[]) =>
    Number(issues.some((inner) => inner.code === 'unrecognized_keys'));
  const depth = (issues: readonly Issue[]) => Math.max(0, ...issues.map((inner) => inner.path.length));
  const branch = [...issue.errors].sort((a, b) => unknownKeys(a) - unknownKeys(b) || depth(b) - depth(a))[0];
  const first = branch?.[0];
  return first === undefined
    ? { code: 'invalid', field, message: issue.message }
    : refusalOfIssue(first, path);
}

/** What is quoted from an input may be of any length; a refusal stays a sentence. */
function shortened(text: string, longest: number): string {
  return text.length > longest ? `${text.slice(0, longest)}…` : text;
}

/**
 * Where a text holds half a character (a lone surrogate of UTF-16), which evidence cannot keep: RFC 8785, 3.2.2.2.
 * Without recursion, so that no depth of nesting matters.
 */
function placeOfHalfCharacter(data: unknown): readonly PropertyKey[] | null {
  const waiting: { readonly value: unknown; readonly path: readonly PropertyKey[] }[] = [
    { value: data, path: [] },
  ];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const { value, path } = next;
    if (typeof value === 'string' && !value.isWellFormed()) return path;
    if (typeof value !== 'object' || value === null) continue;
    for (const [name, item] of Object.entries(value)) {
      if (!name.isWellFormed()) return path;
      if (typeof item === 'string' || typeof item === 'object') {
        waiting.push({ value: item, path: [...path, Array.isArray(value) ? Number(name) : name] });
      }
    }
  }
  return null;
}

/**
 * Validates with a zod schema at the edge and turns the first complaint into a refusal that names the field,
 * what is wrong and what to do. `field` is the path that stands before the schema's own paths.
 */
export function parseWith<Schema extends z.ZodType>(
  schema: Schema,
  input: unknown,
  field: readonly PropertyKey[] = [],
): Result<z.output<Schema>> {
  const parsed = schema.safeParse(input, { reportInput: true });
  if (parsed.success) {
    const place = placeOfHalfCharacter(parsed.data);
    if (place === null) return ok(parsed.data);
    return refuse('half_character', fieldOf([...field, ...place]), 'holds half a character; type it anew');
  }
  const first = parsed.error.issues[0];
  if (first === undefined) return refuse('invalid', fieldOf(field), 'is not valid');
  const { field: place, message, ...rest } = refusalOfIssue(first, field);
  return { ok: false, error: { ...rest, field: shortened(place, 200), message: shortened(message, 600) } };
}
