/**
 * What is not known, before and after something was measured. Each unknown has the prior N(0, 1); a measurement is a weighted
 * sum of them with noise. Linear and normal, so the update is exact (Kalman; Tarantola, Inverse Problem Theory, ch. 3,
 * from memory).
 */
export interface Posterior {
  readonly mean: Float64Array;
  /** Row by row. */
  readonly covariance: Float64Array;
}

/**
 * @param rows what each measurement changes by for each unknown's standard deviation
 * @param noise variance of each measurement
 * @param seen each measurement less what was expected
 */
export function posterior(
  unknowns: number,
  rows: readonly ArrayLike<number>[],
  noise: readonly number[],
  seen: readonly number[],
): Posterior {
  const mean = new Float64Array(unknowns);
  const covariance = new Float64Array(unknowns * unknowns);
  for (let i = 0; i < unknowns; i++) covariance[i * unknowns + i] = 1;
  const gain = new Float64Array(unknowns);
  // One measurement after another: no system of equations to solve.
  rows.forEach((row, which) => {
    let variance = noise[which]!;
    let expected = 0;
    for (let i = 0; i < unknowns; i++) {
      let sum = 0;
      for (let j = 0; j < unknowns; j++) sum += covariance[i * unknowns + j]! * row[j]!;
      gain[i] = sum;
      variance += row[i]! * sum;
      expected += row[i]! * mean[i]!;
    }
    if (!(variance > 0)) return;
    const surprise = (seen[which]! - expected) / variance;
    for (let i = 0; i < unknowns; i++) {
      mean[i]! += gain[i]! * surprise;
      for (let j = 0; j < unknowns; j++) covariance[i * unknowns + j]! -= (gain[i]! * gain[j]!) / variance;
    }
  });
  return { mean, covariance };
}
