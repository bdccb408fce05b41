import type { Indication, IndicationState } from '../../shared/indication.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import { isDigitBlind } from '../profile/digit-blind.ts';
import type { InstrumentProfile } from '../profile.ts';
import { exactDigits, magnitudeText, magnitudeValue } from './number-text.ts';
import { columnsOf, isReadableColumn, noLimit, type ReadingReader, tellingGroups } from './reading.ts';

/**
 * The shape of a line is the line with one digit as good as another. Where a profile tells no digit from another
 * outside the number, the shape decides everything but the number, and an instrument has few shapes: they are learnt
 * from lines that the expression has read, and a line of a known shape is read without it.
 */
export interface LineShapes {
  /** The reading of a line of a known shape within `text`, `out_of_range`, or undefined where the shape is not known. */
  read(text: string, from: number, to: number, offset: number): Indication | 'out_of_range' | undefined;
  /** Learns the shape of a line that `read` did not know and that the reader of the profile has just accepted. */
  learn(line: string, reading: Indication): void;
}

/** What a shape decides. Places count from the beginning of the line. */
interface Shape {
  readonly firstDigit: number;
  /** Place of the decimal sign; −1 without one. */
  readonly pointAt: number;
  readonly endOfNumber: number;
  readonly negative: boolean;
  readonly unit: Unit;
  readonly state: IndicationState;
  readonly lower: number;
  readonly upper: number;
  readonly columns: readonly ShapeColumn[];
}

interface ShapeColumn {
  readonly name: string;
  readonly from: number;
  readonly to: number;
}

/** Nodes of the tree, so that it stays a quarter of a megabyte. Fullness makes it begin anew. */
const mostNodes = 512;
const longestLine = 128;
/** A replay makes a decoder for one line or two: before this one nothing is learnt. */
const firstLearnt = 5;
/** After so many lines in a row of unknown shape only one in sixteen is learnt. */
const patience = 64;

/** The shapes of a profile, or undefined where a line of the same shape may mean something else. */
export function createLineShapes(
  profile: InstrumentProfile,
  names: readonly string[],
  pattern: RegExp,
  reader: ReadingReader,
): LineShapes | undefined {
  if (profile.sequence !== undefined || profile.stamp !== undefined || profile.decimals !== undefined)
    return undefined;
  let learner: ((line: string, reading: Indication) => Shape | undefined) | undefined;
  /** Node after each byte; 0 is the root and means that no line went on so. */
  let next = new Uint16Array(0);
  let shapes: (Shape | undefined)[] = [];
  let nodes = 1;
  let missed = 0;

  function learn(line: string, reading: Indication): void {
    missed += 1;
    if (missed < firstLearnt && nodes === 1) return;
    if (line.length > longestLine || (missed > patience && missed % 16 !== 0)) return;
    learner ??= createLearner(profile, names, pattern, reader);
    const shape = learner(line, reading);
    if (shape !== undefined) keep(line, shape);
  }

  function keep(line: string, shape: Shape): void {
    if (next.length === 0 || nodes + line.length > mostNodes) {
      next = new Uint16Array(mostNodes << 8);
      shapes = new Array(mostNodes).fill(undefined);
      nodes = 1;
    }
    let node = 0;
    for (let index = 0; index < line.length; index += 1) {
      const code = line.charCodeAt(index);
      let after = next[(node << 8) | code] ?? 0;
      if (after === 0) {
        after = nodes;
        nodes += 1;
        if (code < 0x30 || code > 0x39) next[(node << 8) | code] = after;
        else next.fill(after, (node << 8) | 0x30, (node << 8) | 0x3a);
      }
      node = after;
    }
    shapes[node] = shape;
  }

  return {
    learn,
    read(text, from, to, offset) {
      if (nodes === 1) return undefined;
      let node = 0;
      for (let index = from; index < to; index += 1) {
        node = next[(node << 8) | text.charCodeAt(index)] ?? 0;
        if (node === 0) return undefined;
      }
      const shape = shapes[node];
      if (shape === undefined) return undefined;
      missed = 0;
      return readShape(shape, text, from, offset);
    },
  };
}

/** Finds the shape of a line that was accepted; undefined where digits outside the number tell something too. */
function createLearner(
  profile: InstrumentProfile,
  names: readonly string[],
  pattern: RegExp,
  reader: ReadingReader,
): (line: string, reading: Indication) => Shape | undefined {
  const { ignore_lines: ignored, refuse_lines: refused, range } = profile;
  const sources = [pattern.source, ...ignored, ...refused.map((line) => line.pattern)];
  if (!sources.every(isDigitBlind)) return () => undefined;
  const located = new RegExp(pattern.source, `${pattern.flags}d`);
  const columns = columnsOf(profile, names);
  const telling = new Set([...tellingGroups(profile), ...profile.refuse_when.map(({ group }) => group)]);

  return (line, { unit, state }) => {
    const places = located.exec(line)?.indices;
    if (places === undefined) return undefined;
    const placeOf = (at: number) => trimmed(line, places[at]);
    if (names.some((name, at) => telling.has(name) && /\d/.test(line.slice(...placeOf(at)))))
      return undefined;
    const [signAt, endOfNumber] = placeOf(names.indexOf('value'));
    const sign = /^[+-]?/.exec(line.slice(signAt, endOfNumber))?.[0] ?? '';
    const firstDigit = signAt + sign.length;
    if (endOfNumber - firstDigit > exactDigits) return undefined;
    const point = line.slice(firstDigit, endOfNumber).search(/[.,]/);
    const [lower, upper] = range[unit] ?? noLimit;
    const found = columns.map(({ name, at }) => ({ name, place: placeOf(at) }));
    return {
      ...{ firstDigit, pointAt: point === -1 ? -1 : firstDigit + point, endOfNumber },
      ...{ negative: sign === '-' || reader.wasNegative(), unit, state, lower, upper },
      columns: found
        .filter(({ place: [from, to] }) => isReadableColumn(profile, line.slice(from, to)))
        .map(({ name, place: [from, to] }) => ({ name, from, to })),
    };
  };
}

/** The place of a group without the blanks around it. */
function trimmed(line: string, place: readonly [number, number] | undefined): readonly [number, number] {
  const [from, to] = place ?? [0, 0];
  const text = line.slice(from, to);
  const begin = from + text.length - text.trimStart().length;
  return [begin, begin + text.trim().length];
}

function readShape(shape: Shape, line: string, start: number, offset: number): Indication | 'out_of_range' {
  const { columns, unit, state, pointAt, negative } = shape;
  const point = pointAt === -1 ? -1 : start + pointAt;
  const first = start + shape.firstDigit;
  const end = start + shape.endOfNumber;
  const magnitude = magnitudeValue(line, first, point, end);
  const isNegative = negative && magnitude !== 0;
  const value = isNegative ? -magnitude : magnitude;
  if (value < shape.lower || value > shape.upper) return 'out_of_range';
  const digits = magnitudeText(line, first, point, end);
  const text = isNegative ? `-${digits}` : digits;
  const indication: Indication = { offset, text, value, unit, state };
  if (columns.length > 0) {
    const found: Record<string, string> = {};
    for (const { name, from, to } of columns) found[name] = line.slice(start + from, start + to);
    indication.columns = found;
  }
  return indication;
}
