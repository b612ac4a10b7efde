import type { Band, Poles } from "./band.ts";
import { choleskyInPlace, choleskySolve } from "./hermitian.ts";
import type { Projection } from "./projection.ts";

export interface LineCovariance {
  /** Standard deviation of omega, and of alpha (the same number), rad/s. Infinite where the matrix is singular. */
  sdPole: Float64Array;
  /** Standard deviation of the log amplitude, and of the phase, in the strongest channel. */
  sdLogAmplitude: Float64Array;
  covLogAmplitudeAlpha: Float64Array;
}

/**
 * Covariance of a fitted band at unit noise. The complex variance of the poles is (D^H D)^-1; half of it falls to omega
 * and half to alpha. A coefficient c moves by R^-1 (Q^H noise - B ds), B = Q^H D: its variance is that of the linear
 * problem plus that carried over from the poles.
 */
export function lineCovariance(p: Projection, band: Band, poles: Poles): LineCovariance {
  const channels = band.channels.length;
  const m = p.poles;
  const k = p.columns;
  const out: LineCovariance = {
    sdPole: new Float64Array(m).fill(Number.POSITIVE_INFINITY),
    sdLogAmplitude: new Float64Array(m).fill(Number.POSITIVE_INFINITY),
    covLogAmplitudeAlpha: new Float64Array(m),
  };
  if (m === 0) return out;
  const inverse = invert(p.hRe, p.hIm, m);
  if (inverse === null) return out;
  for (let j = 0; j < m; j++) {
    out.sdPole[j] = Math.sqrt(Math.max(0, inverse.re[j * m + j]) / 2);
    const c = strongestChannel(p, channels, j);
    const cRe = p.cRe[c * k + j];
    const cIm = p.cIm[c * k + j];
    const power = cRe * cRe + cIm * cIm;
    if (power === 0) continue;
    const row = rowOfInverse(p.rRe[c], p.rIm[c], k, j);
    // Linear part: |row of R^-1|^2. Pole part: g cov(ds) g^H with g = row of R^-1 times B.
    let variance = 0;
    for (let l = 0; l < k; l++) variance += row.re[l] ** 2 + row.im[l] ** 2;
    const gRe = new Float64Array(m);
    const gIm = new Float64Array(m);
    for (let q = 0; q < m; q++) {
      for (let l = 0; l < k; l++) {
        gRe[q] += row.re[l] * p.bRe[c][l * k + q] - row.im[l] * p.bIm[c][l * k + q];
        gIm[q] += row.re[l] * p.bIm[c][l * k + q] + row.im[l] * p.bRe[c][l * k + q];
      }
    }
    const end = endFactor(poles.alpha[j], poles.omega[j], band.size / band.sampleRateHz);
    gRe[j] -= end.re * cRe - end.im * cIm;
    gIm[j] -= end.re * cIm + end.im * cRe;
    let crossRe = 0;
    let crossIm = 0;
    for (let a = 0; a < m; a++) {
      let tRe = 0;
      let tIm = 0;
      for (let b = 0; b < m; b++) {
        tRe += inverse.re[a * m + b] * gRe[b] + inverse.im[a * m + b] * gIm[b];
        tIm += inverse.im[a * m + b] * gRe[b] - inverse.re[a * m + b] * gIm[b];
      }
      variance += gRe[a] * tRe - gIm[a] * tIm;
      if (a === j) {
        crossRe = tRe;
        crossIm = tIm;
      }
    }
    out.sdLogAmplitude[j] = Math.sqrt(Math.max(0, variance) / (2 * power));
    // cov(ds_j, dc/c) = -cov(ds) g^H / conj(c); alpha is minus the real part of s.
    out.covLogAmplitudeAlpha[j] = (crossRe * cRe - crossIm * cIm) / (2 * power);
  }
  return out;
}

function strongestChannel(p: Projection, channels: number, j: number): number {
  let best = 0;
  let power = -1;
  for (let c = 0; c < channels; c++) {
    const v = p.cRe[c * p.columns + j] ** 2 + p.cIm[c * p.columns + j] ** 2;
    if (v > power) {
      power = v;
      best = c;
    }
  }
  return best;
}

function invert(
  hRe: Float64Array,
  hIm: Float64Array,
  m: number,
): { re: Float64Array; im: Float64Array } | null {
  // Scaled to a unit diagonal first: lines of very different strength share the matrix.
  const scale = Float64Array.from({ length: m }, (_, j) => 1 / Math.sqrt(hRe[j * m + j]));
  const lRe = new Float64Array(m * m);
  const lIm = new Float64Array(m * m);
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < m; j++) {
      lRe[i * m + j] = hRe[i * m + j] * scale[i] * scale[j];
      lIm[i * m + j] = hIm[i * m + j] * scale[i] * scale[j];
    }
  }
  if (!scale.every(Number.isFinite) || !choleskyInPlace(lRe, lIm, m)) return null;
  const re = new Float64Array(m * m);
  const im = new Float64Array(m * m);
  const xRe = new Float64Array(m);
  const xIm = new Float64Array(m);
  for (let j = 0; j < m; j++) {
    xRe.fill(0);
    xIm.fill(0);
    xRe[j] = 1;
    choleskySolve(lRe, lIm, m, xRe, xIm);
    for (let i = 0; i < m; i++) {
      re[i * m + j] = xRe[i] * scale[i] * scale[j];
      im[i * m + j] = xIm[i] * scale[i] * scale[j];
    }
  }
  return { re, im };
}

/** Row j of the inverse of the upper triangular k x k matrix R. */
function rowOfInverse(
  rRe: Float64Array,
  rIm: Float64Array,
  k: number,
  j: number,
): { re: Float64Array; im: Float64Array } {
  // x R = e_j, solved from the left.
  const re = new Float64Array(k);
  const im = new Float64Array(k);
  for (let col = j; col < k; col++) {
    let a = col === j ? 1 : 0;
    let b = 0;
    for (let l = j; l < col; l++) {
      a -= re[l] * rRe[l * k + col] - im[l] * rIm[l * k + col];
      b -= re[l] * rIm[l * k + col] + im[l] * rRe[l * k + col];
    }
    const d = rRe[col * k + col];
    re[col] = d > 0 ? a / d : 0;
    im[col] = d > 0 ? b / d : 0;
  }
  return { re, im };
}

/** T z^N / (1 - z^N): how the factor 1 - z^N, absorbed into the coefficient, moves with the pole. */
function endFactor(alpha: number, omega: number, durationS: number): { re: number; im: number } {
  const tail = Math.exp(-alpha * durationS);
  const a = tail * Math.cos(omega * durationS);
  const b = tail * Math.sin(omega * durationS);
  const scale = durationS / ((1 - a) ** 2 + b * b);
  return { re: (a * (1 - a) - b * b) * scale, im: b * scale };
}
