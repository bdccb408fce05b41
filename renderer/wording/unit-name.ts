import type { Unit } from '../../shared/quantity/unit.ts';

const printed: Readonly<Record<Unit, string>> = {
  g: 'g',
  mg: 'mg',
  kg: 'kg',
  oz: 'oz',
  lb: 'lb',
  gr: 'gr',
  'N.m': 'N·m',
  'cN.m': 'cN·m',
  'lbf.in': 'lbf·in',
  'lbf.ft': 'lbf·ft',
  'ozf.in': 'ozf·in',
  'kgf.cm': 'kgf·cm',
  'kgf.m': 'kgf·m',
  'gf.cm': 'gf·cm',
};

/** A unit as people print it (ISO 80000-1, 7.2.2: a half-high dot between units multiplied). */
export function unitName(unit: Unit): string {
  return printed[unit];
}
