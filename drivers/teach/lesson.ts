import type { Unit } from '../../shared/quantity/unit.ts';
import { unitOfText } from '../../shared/quantity/unit-text.ts';
import { ok, type Result, refuse } from '../../shared/result.ts';
import { withoutHighBit } from '../decode/framer.ts';
import { canonicalNumber } from '../decode/number-text.ts';
import { type Column, findReadingLines, type ReadingLines } from './columns.ts';
import { type FrameGuess, guessFrame } from './frame-guess.ts';
import { guessHighBit, type HighBitGuess } from './high-bit.ts';
import { guessDecimalSign, type Token, tokenise } from './tokens.ts';

/** What the display of the instrument shows, as a person reads it: "12.34 g, stable". */
export interface Display {
  readonly text: string;
  readonly unit: Unit;
  /** `null` where the instrument shows none, for example a wrench. */
  readonly state: 'stable' | 'unstable' | null;
}

/** Which column is what, by number; −1 for none. */
export interface ColumnRoles {
  readonly value: number;
  readonly unit: number;
  /** Columns that may tell stable from unstable, the likeliest first. */
  readonly flags: readonly number[];
}

/** A confirmed display and the line that it belongs to. */
export interface Confirmation {
  readonly display: Display;
  readonly row: readonly (Token | null)[];
}

/** What is known of an instrument so far. Plain data; each step gives a new one. */
export interface Lesson {
  readonly bytes: Uint8Array;
  readonly highBit: HighBitGuess;
  readonly frame: FrameGuess;
  readonly decimal: '.' | ',';
  /** The whole lines of the recording, the first piece and the unfinished end left out. */
  readonly lines: readonly string[];
  readonly readings: ReadingLines;
  readonly roles: ColumnRoles;
  readonly confirmations: readonly Confirmation[];
}

/** Most lines behind the display: it shows an older line than the last one. */
const longestDelayLines = 20;

/**
 * Looks at captured bytes and guesses parity, framing and columns.
 * Refusals: `no_lines` (nothing that ends lines), `no_number` (no line with a number).
 */
export function beginLesson(bytes: Uint8Array): Result<Lesson> {
  const highBit = guessHighBit(bytes);
  const plain = highBit.isParity ? withoutHighBit(Buffer.from(bytes)) : Buffer.from(bytes);
  const frame = guessFrame(plain);
  if (frame === null) {
    return refuse(
      'no_lines',
      'bytes',
      'no line ends were heard; check baud rate and parity, or listen longer',
    );
  }
  const lines = linesOf(plain, frame);
  const decimal = guessDecimalSign(lines);
  const readings = findReadingLines(lines.map((line) => tokenise(line, decimal)));
  if (readings === null) {
    return refuse(
      'no_number',
      'bytes',
      'no line with a number was heard; put a load on, or press the print key',
    );
  }
  return ok({
    bytes,
    highBit,
    frame,
    decimal,
    lines,
    readings,
    roles: guessRoles(readings),
    confirmations: [],
  });
}

/**
 * Narrows the guesses by what the display shows at the end of the recording.
 * Refusals: `display_not_found`, `unit_disagrees`, `state_disagrees`.
 */
export function confirmDisplay(lesson: Lesson, display: Display): Result<Lesson> {
  const shown = canonicalNumber(display.text, false, undefined);
  if (shown === null)
    return refuse('not_a_number', 'text', `"${display.text}" is no number; type what the display shows`);
  const found = findShown(lesson, shown);
  if (found === null) {
    return refuse(
      'display_not_found',
      'text',
      `none of the last ${longestDelayLines} lines shows ${display.text}; wait until the display stands still and type it again`,
    );
  }
  const { row, value } = found;
  const unit = unitColumnBehind(lesson.readings.columns, value);
  const unitText = unit === -1 ? '' : (row[unit]?.text ?? '');
  const told = unitOfText(unitText);
  if (told !== null && told !== display.unit) {
    return refuse(
      'unit_disagrees',
      'unit',
      `the line says ${unitText}, not ${display.unit}; look at the display again`,
    );
  }
  const confirmations = [...lesson.confirmations, { display, row }];
  const flags = lesson.readings.columns
    .map((_, at) => at)
    .filter(
      (at) =>
        at !== value &&
        at !== unit &&
        mayBeFlag(lesson.readings.columns[at]) &&
        isConsistent(at, confirmations),
    );
  const states = new Set(confirmations.map((confirmation) => confirmation.display.state));
  if (states.has('stable') && states.has('unstable') && flags.length === 0) {
    return refuse(
      'state_disagrees',
      'state',
      'no column of the lines tells stable from unstable as you typed it; look again',
    );
  }
  return ok({ ...lesson, roles: { value, unit, flags }, confirmations });
}

/** The whole lines of the recording: what comes before the first end and after the last one is left out. */
function linesOf(bytes: Buffer, frame: FrameGuess): string[] {
  const text = bytes.toString('latin1');
  const ends = frame.ends.map((end) => Buffer.from(end, 'hex').toString('latin1'));
  const pieces = text.split(
    new RegExp(
      ends
        .map((end) => end.replace(/[^\w]/g, (c) => `\\x${c.charCodeAt(0).toString(16).padStart(2, '0')}`))
        .join('|'),
    ),
  );
  const start = frame.start === undefined ? '' : Buffer.from(frame.start, 'hex').toString('latin1');
  const whole = start === '' ? pieces.slice(1, -1) : pieces.slice(0, -1);
  return whole
    .map((piece) => (start === '' ? piece : piece.slice(piece.lastIndexOf(start) + start.length)))
    .filter((line) => /^[ -~]+$/.test(line));
}

/** The number that is followed by a unit, has a decimal sign, and changes, in this order of weight. */
function guessRoles({ columns }: ReadingLines): ColumnRoles {
  const weight = (at: number) => {
    const column = columns[at];
    if (column?.kind !== 'number') return -1;
    const hasUnit = columns[unitColumnBehind(columns, at)]?.values.some(readsLikeUnit) ?? false;
    const hasDecimals = column.values.every((text) => /[.,]/.test(text));
    return 4 * Number(hasUnit) + 2 * Number(hasDecimals) + Number(column.values.length > 1);
  };
  const value = columns.reduce((best, _, at) => (weight(at) > weight(best) ? at : best), 0);
  const unit = unitColumnBehind(columns, value);
  const flags = columns
    .map((_, at) => at)
    .filter((at) => at !== value && at !== unit && mayBeFlag(columns[at]));
  return { value, unit, flags };
}

/** A word or mark of few kinds. */
function mayBeFlag(column: Column | undefined): boolean {
  if (column === undefined || column.kind === 'number') return false;
  return (column.kind === 'word' || column.isOptional) && column.values.length <= 8;
}

/** The newest line that shows the number, and the column that shows it; the guessed one if several do. */
function findShown(lesson: Lesson, shown: string): { row: readonly (Token | null)[]; value: number } | null {
  const { readings, roles, decimal } = lesson;
  const rows = readings.rows.flatMap((row) => (row === null ? [] : [row])).slice(-longestDelayLines);
  for (const row of rows.reverse()) {
    const places = row.flatMap((token, at) => {
      if (token?.kind !== 'number') return [];
      const text = canonicalNumber(token.text, token.sign === '-', decimal);
      return text !== null && Number(text) === Number(shown) ? [at] : [];
    });
    const value = places.includes(roles.value) ? roles.value : places[0];
    if (value !== undefined) return { row, value };
  }
  return null;
}

/** The word directly behind the value, or one behind a comma that reads like a unit; −1 when there is none. */
function unitColumnBehind(columns: readonly Column[], value: number): number {
  const [next, afterNext] = [columns[value + 1], columns[value + 2]];
  if (next?.kind === 'word' && !next.isOptional) return value + 1;
  const isComma = next?.kind === 'mark' && /^[,;]$/.test(next.values[0] ?? '');
  return isComma && afterNext?.kind === 'word' && afterNext.values.some(readsLikeUnit) ? value + 2 : -1;
}

/** A unit in a spelling that instruments use, capital letters or not. What it means is confirmed by a person. */
function readsLikeUnit(text: string): boolean {
  return unitOfText(text) !== null || unitOfText(text.toLowerCase()) !== null || text.toLowerCase() === 'nm';
}

/** Whether a column says the same for the same state and something else for the other. */
function isConsistent(at: number, confirmations: readonly Confirmation[]): boolean {
  const states = new Map<string, Display['state']>();
  for (const { display, row } of confirmations) {
    const text = row[at]?.text ?? '';
    if (display.state === null) continue;
    if ((states.get(text) ?? display.state) !== display.state) return false;
    states.set(text, display.state);
  }
  return true;
}
