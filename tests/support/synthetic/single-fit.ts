import type { BellTruth } from "./bell.ts";
import type { ModeEstimate } from "./score.ts";

/**
 * Maximum-likelihood fit of one damped cosine in the time domain, started at the truth: Gauss-Newton on (alpha, omega)
 * and the two linear amplitudes together. Checks that the bound can be reached; it finds nothing by itself.
 */
export function fitSingleMode(signal: Float32Array, truth: BellTruth, startSample: number): ModeEstimate {
  const rate = truth.sampleRateHz;
  const [mode] = truth.modes;
  const startS = (startSample - truth.onsetSample) / rate;
  let alpha = mode.decayRatePerS;
  let omega = 2 * Math.PI * mode.frequencyHz;
  const level = mode.amplitude[0] * Math.exp(-alpha * startS);
  const phase = mode.phaseRad[0] + omega * startS;
  let a = level * Math.cos(phase);
  let b = -level * Math.sin(phase);
  let covariance: number[][] = [];
  for (let iteration = 0; iteration < 5; iteration++) {
    const normal = [0, 1, 2, 3].map(() => [0, 0, 0, 0, 0]);
    for (let n = startSample; n < signal.length; n++) {
      const t = (n - startSample) / rate;
      const decay = Math.exp(-alpha * t);
      const cos = decay * Math.cos(omega * t);
      const sin = decay * Math.sin(omega * t);
      const model = a * cos + b * sin;
      const row = [cos, sin, -t * model, t * (b * cos - a * sin), signal[n] - model];
      for (let i = 0; i < 4; i++) for (let j = 0; j < 5; j++) normal[i][j] += row[i] * row[j];
    }
    const solution = solve(normal);
    covariance = solution.inverse;
    a += solution.x[0];
    b += solution.x[1];
    alpha += solution.x[2];
    omega += solution.x[3];
  }
  const variance = truth.noiseVariance(mode.frequencyHz, 0);
  return {
    frequencyHz: omega / (2 * Math.PI),
    frequencySdHz: Math.sqrt(covariance[3][3] * variance) / (2 * Math.PI),
    decayRatePerS: alpha,
    decayRateSdPerS: Math.sqrt(covariance[2][2] * variance),
    amplitude: [Math.hypot(a, b) * Math.exp(alpha * startS)],
    rho: ((a * a + b * b) * rate) / (8 * alpha * variance),
  };
}

/** Gauss-Jordan elimination of a positive definite system [A | y], scaled to unit diagonal. */
function solve(system: number[][]): { x: number[]; inverse: number[][] } {
  const size = system.length;
  const scale = system.map((row, i) => 1 / Math.sqrt(row[i]));
  const rows = system.map((row, i) => [
    ...scale.map((s, j) => row[j] * s * scale[i]),
    row[size] * scale[i],
    ...scale.map((_, j) => (i === j ? 1 : 0)),
  ]);
  for (let i = 0; i < size; i++) {
    const pivot = rows[i][i];
    rows[i] = rows[i].map((v) => v / pivot);
    for (let r = 0; r < size; r++) {
      const factor = rows[r][i];
      if (r !== i) rows[r] = rows[r].map((v, k) => v - factor * rows[i][k]);
    }
  }
  return {
    x: rows.map((row, i) => row[size] * scale[i]),
    inverse: rows.map((row, i) => row.slice(size + 1).map((v, j) => v * scale[i] * scale[j])),
  };
}
