/** Volume in cm³ of a mass in grams at a density in g/cm³. */
export function volumeCubicCentimetres(massGrams: number, densityGramsPerCubicCentimetre: number): number {
  return massGrams / densityGramsPerCubicCentimetre;
}

/** Part of a free space that a mass of grease fills: 0 empty, 1 full. */
export function fillFraction(
  massGrams: number,
  densityGramsPerCubicCentimetre: number,
  freeSpaceCubicCentimetres: number,
): number {
  return volumeCubicCentimetres(massGrams, densityGramsPerCubicCentimetre) / freeSpaceCubicCentimetres;
}

/** Mass in grams that fills a part of a free space: 0.40 · 25 cm³ · 0.9 g/cm³ = 9 g. */
export function massGramsForFill(
  fraction: number,
  freeSpaceCubicCentimetres: number,
  densityGramsPerCubicCentimetre: number,
): number {
  return fraction * freeSpaceCubicCentimetres * densityGramsPerCubicCentimetre;
}
