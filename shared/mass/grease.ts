/** Amount in grams for relubricating a rolling bearing: 0.005 · D · B, millimetres (bearing makers' rule). */
export function relubricationGrams(outerDiameterMillimetres: number, widthMillimetres: number): number {
  return (5 * outerDiameterMillimetres * widthMillimetres) / 1000;
}

export type ConsistencyGrade = '000' | '00' | '0' | '1' | '2' | '3' | '4' | '5' | '6';

/** 60-stroke worked penetration at 25 °C in tenths of a millimetre: scope note of ASTM D217. */
const penetrations: readonly (readonly [ConsistencyGrade, number, number])[] = [
  ['000', 445, 475],
  ['00', 400, 430],
  ['0', 355, 385],
  ['1', 310, 340],
  ['2', 265, 295],
  ['3', 220, 250],
  ['4', 175, 205],
  ['5', 130, 160],
  ['6', 85, 115],
];

/** NLGI consistency grade of a worked penetration; `null` in the gaps between grades, which are real. */
export function consistencyGrade(workedPenetration: number): ConsistencyGrade | null {
  return (
    penetrations.find(([, least, most]) => least <= workedPenetration && workedPenetration <= most)?.[0] ??
    null
  );
}
