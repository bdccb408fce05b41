/**
 * Tightening torque from preload by the nut factor: T = K·D·F, in N.m for D in millimetres and F in newtons.
 * K about 0.20 clean and dry, 0.15 lubricated (handbook pages); a sealed or greased thread has its own.
 */
export function torqueNewtonMetresFromPreload(
  nutFactor: number,
  diameterMillimetres: number,
  preloadNewtons: number,
): number {
  return (nutFactor * diameterMillimetres * preloadNewtons) / 1000;
}

/** Preload in newtons at a part of the proof stress: F = fraction · A_s · S_p, with mm² and MPa. */
export function preloadNewtons(
  fraction: number,
  stressAreaSquareMillimetres: number,
  proofStressMegapascals: number,
): number {
  return fraction * stressAreaSquareMillimetres * proofStressMegapascals;
}
