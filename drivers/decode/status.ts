import type { IndicationState } from '../../shared/indication.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import type { InstrumentProfile } from '../profile.ts';
import type { Cells } from './reading.ts';

/** What words, letters, digits and bits of a line say about it. */
export interface Status {
  state: IndicationState | undefined;
  /** The unit where it is fixed or told by a bit. */
  unit: Unit | undefined;
  negative: boolean;
}

/** Reads the status of a line into `status`; gives the reason if it refuses the line. */
export type StatusReader = (cells: Cells) => string | null;

type Check = (cells: Cells) => string | null;

/**
 * Makes the status checks of a profile, in their order: refused words, bits, stability, tag. `status` is one object
 * that is written over line by line, since this runs for every line.
 */
export function compileStatus(
  profile: InstrumentProfile,
  names: readonly string[],
): { readonly status: Readonly<Status>; readonly readStatus: StatusReader } {
  const { state, unit_fixed: unit } = profile;
  const status: Status = { state, unit, negative: false };
  const units = new Map(Object.entries(profile.units));
  const checks: Check[] = [];

  for (const { group, values, reason } of profile.refuse_when) {
    const at = names.indexOf(group);
    const refused = new Set<string | undefined>(values);
    checks.push((cells) => (refused.has(cells[at]) ? reason : null));
  }

  function takeMeaning(meaning: string): string | null {
    if (meaning.startsWith('refuse:')) return meaning.slice('refuse:'.length);
    if (meaning.startsWith('unit:')) {
      status.unit = units.get(meaning.slice('unit:'.length));
      return status.unit === undefined ? 'unit_not_allowed' : null;
    }
    if (meaning === 'negative') status.negative = true;
    else status.state = meaning as IndicationState;
    return null;
  }

  for (const { group, radix, bit, one, zero } of profile.bits) {
    const at = names.indexOf(group);
    checks.push((cells) => {
      const number = numberOfStatus(cells[at], radix);
      if (number === null) return 'unknown_status';
      const meaning = Math.floor(number / 2 ** bit) % 2 === 1 ? one : zero;
      return meaning === undefined || meaning === '' ? null : takeMeaning(meaning);
    });
  }

  const { stability, tags } = profile;
  if (stability !== undefined && 'group' in stability) {
    const at = names.indexOf(stability.group);
    const states = new Map<string | undefined, IndicationState>([
      ...stability.unstable.map((word) => [word, 'unstable'] as const),
      ...stability.stable.map((word) => [word, 'stable'] as const),
    ]);
    checks.push((cells) => {
      status.state = states.get(cells[at]);
      return status.state === undefined ? 'unknown_status' : null;
    });
  } else if (stability !== undefined) {
    const { always } = stability;
    checks.push(() => {
      status.state = always;
      return null;
    });
  }
  if (tags !== undefined) {
    const at = names.indexOf(tags.group);
    const states = new Map<string | undefined, IndicationState>(Object.entries(tags.map));
    checks.push((cells) => {
      status.state = states.get(cells[at]);
      return status.state === undefined ? 'unknown_status' : null;
    });
  }

  const [first, ...others] = checks;
  return {
    status,
    readStatus(cells) {
      status.state = state;
      status.unit = unit;
      status.negative = false;
      let refusal = first === undefined ? null : first(cells);
      for (let at = 0; refusal === null && at < others.length; at += 1) refusal = others[at]?.(cells) ?? null;
      return refusal;
    },
  };
}

function numberOfStatus(cell: string | undefined, radix: 'hex' | undefined): number | null {
  if (cell === undefined) return null;
  if (radix === 'hex') return /^\s*[0-9a-fA-F]{1,12}\s*$/.test(cell) ? Number.parseInt(cell, 16) : null;
  return cell.length === 1 ? cell.charCodeAt(0) : null;
}
