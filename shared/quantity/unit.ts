import { z } from 'zod';

export const massUnits = ['g', 'mg', 'kg', 'oz', 'lb', 'gr'] as const;
export const torqueUnits = ['N.m', 'cN.m', 'lbf.in', 'lbf.ft', 'ozf.in', 'kgf.cm', 'kgf.m', 'gf.cm'] as const;

export const massUnitSchema = z.enum(massUnits);
export const torqueUnitSchema = z.enum(torqueUnits);
export const unitSchema = z.enum([...massUnits, ...torqueUnits]);

export type MassUnit = z.infer<typeof massUnitSchema>;
export type TorqueUnit = z.infer<typeof torqueUnitSchema>;
export type Unit = z.infer<typeof unitSchema>;

export const quantitySchema = z.enum(['mass', 'torque']);
/** The two measurands that Bandwright judges. */
export type Quantity = z.infer<typeof quantitySchema>;

/** The quantity that a unit measures. */
export function quantityOf(unit: Unit): Quantity {
  return (massUnits as readonly string[]).includes(unit) ? 'mass' : 'torque';
}

/** The canonical unit of a quantity: g for mass, N.m for torque. */
export function canonicalUnit(quantity: Quantity): 'g' | 'N.m' {
  return quantity === 'mass' ? 'g' : 'N.m';
}
