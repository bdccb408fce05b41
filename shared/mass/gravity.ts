const equatorGravity = 9.7803267715; // m/s², GRS80 (Moritz), Geodesist's Handbook, Bull. Géod. 62(3) 1988
const somiglianaConstant = 0.001931851353; // GRS80, same
const eccentricitySquared = 0.0066943800229; // GRS80, same
const freeAirPerMetre = -3.086e-6; // s⁻², free-air gradient, first order

/** A place of use. */
export interface Place {
  readonly latitudeDegrees: number;
  /** Above the sea; 0 where left out. */
  readonly heightMetres?: number | undefined;
}

/** Normal gravity in m/s² by Somigliana's formula on GRS80, with the free-air gradient for the height. */
export function normalGravity({ latitudeDegrees, heightMetres = 0 }: Place): number {
  const sine = Math.sin((latitudeDegrees * Math.PI) / 180);
  const square = sine * sine;
  const onEllipsoid =
    (equatorGravity * (1 + somiglianaConstant * square)) / Math.sqrt(1 - eccentricitySquared * square);
  return onEllipsoid + freeAirPerMetre * heightMetres;
}

/**
 * What a scale shows per true value after it was adjusted at one place and moved to another without being
 * adjusted there: 1.00132 from 45° to 60°. Adjust it, or divide by this.
 */
export function relocationFactor(adjustedAt: Place, usedAt: Place): number {
  return normalGravity(usedAt) / normalGravity(adjustedAt);
}
