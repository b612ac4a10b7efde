/** An isotropic, elastic metal at rest temperature. */
export interface Material {
  youngPa: number;
  densityKgM3: number;
  poisson: number;
}

/** Lamé's constants, Pa. */
export function lame({ youngPa, poisson }: Material): { lambdaPa: number; shearPa: number } {
  return {
    lambdaPa: (youngPa * poisson) / ((1 + poisson) * (1 - 2 * poisson)),
    shearPa: youngPa / (2 * (1 + poisson)),
  };
}

/** How they change with Poisson's ratio while Young's modulus stays, Pa. */
export function lameByPoisson({ youngPa, poisson: nu }: Material): { lambdaPa: number; shearPa: number } {
  return {
    lambdaPa: (youngPa * (1 + 2 * nu * nu)) / ((1 + nu) * (1 - 2 * nu)) ** 2,
    shearPa: -youngPa / (2 * (1 + nu) ** 2),
  };
}
