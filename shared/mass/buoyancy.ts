export const conventionalAirDensity = 1.2; // kg/m³, OIML D 28:2004
export const conventionalWeightDensity = 8000; // kg/m³, OIML D 28:2004

/** Densities in kg/m³; air and weights are the conventional ones where left out. */
export interface BuoyancyConditions {
  readonly materialDensity: number;
  readonly airDensity?: number | undefined;
  readonly weightDensity?: number | undefined;
}

/**
 * Mass per indicated (conventional) mass: (1 − ρa/ρc)/(1 − ρa/ρs), OIML D 28:2004. 1.0012 for a grease of
 * 900 kg/m³. The same for the recipe amount, so it matters against a true-mass specification only.
 */
export function buoyancyFactor(conditions: BuoyancyConditions): number {
  const {
    materialDensity,
    airDensity = conventionalAirDensity,
    weightDensity = conventionalWeightDensity,
  } = conditions;
  return (1 - airDensity / weightDensity) / (1 - airDensity / materialDensity);
}

/**
 * Density of air in kg/m³: (0.34848 p − 0.009 h e^{0.061 t})/(273.15 + t) for 900…1100 hPa, 10…30 °C and
 * below 80 % relative humidity (OIML R 111-1, E.3 approximation; formula from memory).
 */
export function airDensityKilogramsPerCubicMetre(air: {
  readonly pressureHectopascals: number;
  readonly temperatureCelsius: number;
  readonly relativeHumidityPercent: number;
}): number {
  const { pressureHectopascals: p, temperatureCelsius: t, relativeHumidityPercent: h } = air;
  return (0.34848 * p - 0.009 * h * Math.exp(0.061 * t)) / (273.15 + t); // OIML R 111-1, E.3
}
