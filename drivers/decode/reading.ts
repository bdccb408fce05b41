import type { Indication, IndicationState } from '../../shared/indication.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import { type InstrumentProfile, measurandOf } from '../profile.ts';
import { canonicalNumber, placePoint, valueOfNumber } from './number-text.ts';
import { parseStampFormat } from './stamp.ts';
import { compileStatus } from './status.ts';

/** The groups of a matched line by number; number 0 is the whole line. */
export type Cells = ArrayLike<string | undefined>;

/** Understands the groups of lines that matched. */
export interface ReadingReader {
  /** The reading, or the reason where it is none. */
  read(cells: Cells, offset: number, toldUnit: ToldUnit | undefined): Indication | string;
  /** Whether a sign, a status or a direction beside the number made the last reading negative. */
  wasNegative(): boolean;
}

/** The unit that an earlier line told, or why there is none; undefined where the profile has no such line. */
export type ToldUnit = Unit | 'unit_missing' | 'unit_not_allowed';

/** Where the profile sets no limit for a unit. */
export const noLimit: readonly [number, number] = [-1e99, 1e99];

/**
 * Makes the reader of a profile for groups of these names by number. Order of the checks, the first that fails
 * names the reason: refused words, status bits, stability, tag, unit, number shape, range.
 */
export function compileReading(profile: InstrumentProfile, names: readonly string[]): ReadingReader {
  const { decimals, direction, sequence, stamp, decimal } = profile;
  // A group that is not there has the number past the last, where every line has nothing.
  const place = (name: string | undefined) => {
    const at = name === undefined ? -1 : names.indexOf(name);
    return at === -1 ? names.length : at;
  };
  const valueAt = place('value');
  const signAt = place('sign');
  const unitAt = place(profile.unit_group ?? 'unit');
  const decimalsAt = place(decimals?.group);
  const directionAt = place(direction?.group);
  const sequenceAt = place(sequence?.group);
  const stampAt = place(stamp?.group);
  const units = new Map(Object.entries(profile.units));
  const ranges = new Map(Object.entries(profile.range));
  const readStamp = stamp === undefined ? null : parseStampFormat(stamp.format);
  const readColumns = compileColumns(profile, names);
  const { status, readStatus } = compileStatus(profile, names);
  // Without a word for it a mass is not stable and a torque no peak: nothing is taken for more than it says.
  const stateByDefault: IndicationState = measurandOf(profile) === 'mass' ? 'unstable' : 'track';

  let lastUnitCell: string | undefined;
  let lastUnit: Unit | 'unit_not_allowed' = 'unit_not_allowed';
  let lastRangeUnit: Unit | undefined;
  let lastRange = noLimit;
  let negative = false;

  function findUnit(
    cells: Cells,
    toldUnit: ToldUnit | undefined,
  ): Unit | 'unit_missing' | 'unit_not_allowed' {
    if (status.unit !== undefined) return status.unit;
    if (toldUnit !== undefined) return toldUnit;
    const cell = cells[unitAt] ?? '';
    // An instrument keeps its unit from line to line.
    if (cell !== lastUnitCell) {
      lastUnitCell = cell;
      lastUnit = units.get(cell.trim()) ?? 'unit_not_allowed';
    }
    return lastUnit;
  }

  function rangeOf(unit: Unit): readonly [number, number] {
    if (unit !== lastRangeUnit) {
      lastRangeUnit = unit;
      lastRange = ranges.get(unit) ?? noLimit;
    }
    return lastRange;
  }

  function readNumber(cells: Cells): string | null {
    let sign = cells[signAt] ?? '';
    if (sign.length > 1) sign = sign.trim();
    // Two signs in the sign column are a damaged line.
    if (sign !== '' && sign !== ' ' && sign !== '-' && sign !== '+') return null;
    let printed = cells[valueAt] ?? '';
    if (decimals !== undefined) {
      const code = cells[decimalsAt];
      if (code?.length !== 1) return null;
      const placed = placePoint(printed.trim(), (code.charCodeAt(0) & decimals.mask) - decimals.subtract);
      if (placed === null) return null;
      printed = placed;
    }
    const isBackward = direction?.negative.includes(cells[directionAt] ?? '') ?? false;
    negative = status.negative || sign === '-' || isBackward;
    return canonicalNumber(printed, negative, decimal);
  }

  function read(cells: Cells, offset: number, toldUnit: ToldUnit | undefined): Indication | string {
    const refusal = readStatus(cells);
    if (refusal !== null) return refusal;
    const unit = findUnit(cells, toldUnit);
    if (unit === 'unit_missing' || unit === 'unit_not_allowed') return unit;
    const text = readNumber(cells);
    if (text === null) return 'no_match';
    const value = valueOfNumber(text);
    const [lower, upper] = rangeOf(unit);
    if (value < lower || value > upper) return 'out_of_range';
    const indication: Indication = { offset, text, value, unit, state: status.state ?? stateByDefault };
    if (sequence !== undefined) {
      const count = readCount(cells[sequenceAt]);
      if (count === null) return 'no_match';
      indication.seq = count;
    }
    if (stamp !== undefined) {
      const time = readStamp?.(cells[stampAt] ?? '') ?? null;
      if (time === null) return 'no_match';
      indication.stamp = time;
    }
    const columns = readColumns?.(cells);
    if (columns !== undefined) indication.columns = columns;
    return indication;
  }

  return { read, wasNegative: () => negative };
}

/** A whole number as instruments print it: `007`, ` 12`. Null for anything else. */
export function readCount(text: string | undefined): number | null {
  return text !== undefined && /^\s*[+-]?\d{1,15}\s*$/.test(text) ? Number(text) : null;
}

/** A group that carries something besides the reading, and its number. */
export interface Column {
  readonly name: string;
  readonly at: number;
}

/** The groups whose words say what a line is: sign, unit, state, status bits, tag, direction. */
export function tellingGroups({ stability, ...profile }: InstrumentProfile): readonly string[] {
  const groups = [
    'sign',
    profile.unit_group ?? 'unit',
    stability !== undefined && 'group' in stability ? stability.group : undefined,
    ...profile.bits.map(({ group }) => group),
    profile.tags?.group,
    profile.direction?.group,
  ];
  return groups.filter((group) => group !== undefined);
}

/** The groups that carry something besides the reading: angle, judgement, tare, tool number. */
export function columnsOf(profile: InstrumentProfile, names: readonly string[]): readonly Column[] {
  const used = new Set([
    '',
    'value',
    ...tellingGroups(profile),
    profile.decimals?.group,
    profile.sequence?.group,
    profile.stamp?.group,
  ]);
  return names.map((name, at) => ({ name, at })).filter(({ name }) => !used.has(name));
}

/** Whether a trimmed column is kept. Blank ones are not; a status byte may be any byte, a column is for people. */
export function isReadableColumn(profile: InstrumentProfile, text: string): boolean {
  return text !== '' && (!profile.binary_status || /^[ -~]*$/.test(text));
}

function compileColumns(
  profile: InstrumentProfile,
  names: readonly string[],
): ((cells: Cells) => Record<string, string> | undefined) | undefined {
  const noColumn = { name: '', at: names.length };
  const columns = columnsOf(profile, names);
  if (columns.length === 0) return undefined;
  return (cells) => {
    const found: Record<string, string> = {};
    let any = false;
    for (let index = 0; index < columns.length; index += 1) {
      const { name, at } = columns[index] ?? noColumn;
      const text = cells[at]?.trim() ?? '';
      if (!isReadableColumn(profile, text)) continue;
      found[name] = text;
      any = true;
    }
    return any ? found : undefined;
  };
}
