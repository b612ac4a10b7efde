import type { Band } from "./band.ts";
import type { Projection } from "./projection.ts";

export interface ScoreCandidate {
  /** Whitened energy (nats) that one more line here would explain, to first order. */
  gain: number;
  alpha: number;
  omega: number;
}

/**
 * Score test: the energy that one further damped line would take from the residual, over a grid of the band's own bins
 * and the given decay rates; the best place for each decay rate, best first. `projection` is the fit so far.
 */
export function scoreFurtherLine(
  band: Band,
  projection: Projection,
  alphas: number[],
  stride: number,
): ScoreCandidate[] {
  const { count: n, stepRe, stepIm, sampleRateHz: fs, omega } = band;
  const k = projection.columns;
  const pRe = new Float64Array(n);
  const pIm = new Float64Array(n);
  const found: ScoreCandidate[] = [];
  for (const alpha of alphas) {
    const radius = Math.exp(-alpha / fs);
    let best = -1;
    let bestOmega = 0;
    for (let g = 0; g < n; g += stride) {
      // z exp(-j w_i) with z on the grid frequency: the product of this bin's step conjugate and the other bin's.
      const zRe = radius * stepRe[g];
      const zIm = -radius * stepIm[g];
      let gain = 0;
      for (let c = 0; c < band.channels.length; c++) {
        const { weight } = band.channels[c];
        let whole = 0;
        for (let i = 0; i < n; i++) {
          const a = 1 - (zRe * stepRe[i] - zIm * stepIm[i]);
          const b = -(zRe * stepIm[i] + zIm * stepRe[i]);
          const scale = weight[i] / (a * a + b * b);
          pRe[i] = a * scale;
          pIm[i] = -b * scale;
          whole += pRe[i] * pRe[i] + pIm[i] * pIm[i];
        }
        const qRe = projection.qRe[c];
        const qIm = projection.qIm[c];
        const resRe = projection.residualRe[c];
        const resIm = projection.residualIm[c];
        let inSpan = 0;
        for (let l = 0; l < k; l++) {
          const at = l * n;
          let tRe = 0;
          let tIm = 0;
          for (let i = 0; i < n; i++) {
            tRe += qRe[at + i] * pRe[i] + qIm[at + i] * pIm[i];
            tIm += qRe[at + i] * pIm[i] - qIm[at + i] * pRe[i];
          }
          inSpan += tRe * tRe + tIm * tIm;
        }
        // The residual is already orthogonal to the columns, so the projected candidate sees it as the plain one does.
        let vRe = 0;
        let vIm = 0;
        for (let i = 0; i < n; i++) {
          vRe += pRe[i] * resRe[i] + pIm[i] * resIm[i];
          vIm += pRe[i] * resIm[i] - pIm[i] * resRe[i];
        }
        gain += (vRe * vRe + vIm * vIm) / Math.max(whole - inSpan, 1e-3 * whole);
      }
      if (gain > best) {
        best = gain;
        bestOmega = omega[g];
      }
    }
    found.push({ gain: best, alpha, omega: bestOmega });
  }
  return found.sort((a, b) => b.gain - a.gain);
}
