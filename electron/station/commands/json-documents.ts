import type { z } from 'zod';
import { parseWith } from '../../../shared/schema-refusal.ts';
import { BadInput, badInput, type CommandInput, readInput } from './command.ts';
import { findRepeatedName } from './repeated-name.ts';

/** One JSON value of an input, with its line where the input is JSON lines. */
export interface JsonDocument {
  readonly value: unknown;
  /** Counted from 1; `null` where the whole input is one document. */
  readonly line: number | null;
}

/**
 * Reads one JSON value, or JSON lines (one value a line, blank lines skipped). A JSON list counts as many
 * documents. Throws BadInput, which names the line.
 */
export function readJsonDocuments(bytes: Uint8Array): JsonDocument[] {
  const text = decodeUtf8(bytes);
  if (text.trim() === '') throw new BadInput('input is empty; give one JSON object, or one a line');
  const lines = text.split(/\r?\n/);
  const filled = lines.flatMap((line, index) => (line.trim() === '' ? [] : [{ line, number: index + 1 }]));
  const [first] = filled;
  const isLines = filled.length > 1 && first !== undefined && 'value' in parseLenient(first.line);
  if (isLines) {
    return filled.map(({ line, number }) => ({
      value: parseOrBadInput(line, `line ${number}: `),
      line: number,
    }));
  }
  const value = parseOrBadInput(text, '');
  if (!Array.isArray(value)) return [{ value, line: null }];
  if (value.length === 0) throw new BadInput('input is an empty list; give at least one JSON object');
  return value.map((item: unknown, index) => ({ value: item, line: index + 1 }));
}

/** The bytes of the one file that a command was given, or of standard input. */
export function readOnlyInput(input: CommandInput): Promise<Uint8Array> {
  const [file, ...more] = input.positionals;
  if (more.length > 0) throw new BadInput(`"${more[0]}": one file at a time; give a single FILE or -`);
  return readInput(input, file);
}

/** The one JSON value of an input. */
export function readJsonDocument(bytes: Uint8Array): unknown {
  const text = decodeUtf8(bytes);
  if (text.trim() === '') throw new BadInput('input is empty; give one JSON object');
  return parseOrBadInput(text, '');
}

/** Validates a document, or ends the command with one line that names line and field. */
export function takeDocument<Schema extends z.ZodType>(
  schema: Schema,
  document: JsonDocument,
): z.output<Schema> {
  const parsed = parseWith(schema, document.value);
  if (parsed.ok) return parsed.value;
  throw atLine(document, badInput(parsed.error));
}

/** The same bad input with the line in front. */
export function atLine(document: JsonDocument, error: BadInput): BadInput {
  return document.line === null ? error : new BadInput(`line ${document.line}: ${error.message}`);
}

function decodeUtf8(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new BadInput('input is not UTF-8 text; save the JSON as UTF-8');
  }
}

function parseOrBadInput(text: string, prefix: string): unknown {
  const parsed = parseLenient(text);
  if ('value' in parsed) {
    const repeated = findRepeatedName(text);
    if (repeated === null) return parsed.value;
    throw new BadInput(`${prefix}${repeated}: stands twice in its object; remove the wrong one`);
  }
  throw new BadInput(`${prefix}input is not JSON (${parsed.reason}); give one JSON object, or one a line`);
}

/**
 * NaN and Infinity are no JSON, but programs write them. They become words here, so that validation can name
 * the field in which they stand.
 */
function parseLenient(text: string): { readonly value: unknown } | { readonly reason: string } {
  try {
    return { value: JSON.parse(text) };
  } catch (error) {
    const quoted = text.replace(/"(?:[^"\\]|\\.)*"|-?\b(?:NaN|Infinity)\b/g, (token) =>
      token.startsWith('"') ? token : `"${token}"`,
    );
    if (quoted !== text) {
      try {
        return { value: JSON.parse(quoted) };
      } catch {
        // The first complaint stands.
      }
    }
    const reason = error instanceof Error ? error.message.replace(/\s+/g, ' ') : String(error);
    return { reason };
  }
}
