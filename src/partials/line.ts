/** A damped line while it is being searched for: c exp((-alpha + j omega) t) + its conjugate, t from the start of the ladder. */
export interface Line {
  alpha: number;
  omega: number;
  /** Linear coefficient of each channel; the amplitude is 2 |c|. All zero while the line is only a candidate. */
  cRe: Float64Array;
  cIm: Float64Array;
  /** Standard deviations from the fit alone, misfit included as chi. */
  sdOmega: number;
  sdAlpha: number;
  /** Standard deviation of ln(amplitude), of phase (the same number), and its covariance with alpha, strongest channel. */
  sdLogAmplitude: number;
  covLogAmplitudeAlpha: number;
  /** Matched-filter SNR over all channels. */
  rho: number;
  /** Whitened residual over degrees of freedom of the band. */
  chi: number;
  /** The band asks for more lines than the rules allow. */
  misfitting: boolean;
}

export function candidateLine(alpha: number, omega: number, channels: number): Line {
  return {
    alpha,
    omega,
    cRe: new Float64Array(channels),
    cIm: new Float64Array(channels),
    sdOmega: Number.POSITIVE_INFINITY,
    sdAlpha: Number.POSITIVE_INFINITY,
    sdLogAmplitude: Number.POSITIVE_INFINITY,
    covLogAmplitudeAlpha: 0,
    rho: 0,
    chi: 0,
    misfitting: false,
  };
}

/** Summed over channels: |c|^2. */
export function linePower(line: Line): number {
  let sum = 0;
  for (let c = 0; c < line.cRe.length; c++) sum += line.cRe[c] ** 2 + line.cIm[c] ** 2;
  return sum;
}

/**
 * Takes one line with its image at negative frequency off DFT bins, in place:
 * c (1 - z^N) / (1 - z e) + conj(c (1 - z^N)) / (1 - conj(z) e), e = exp(-j w), joined over one denominator.
 * Only bins from..to-1 are touched; `imageOnly` takes off the image alone.
 */
export function subtractLine(
  line: Line,
  channel: number,
  size: number,
  sampleRateHz: number,
  stepRe: Float64Array,
  stepIm: Float64Array,
  from: number,
  to: number,
  re: Float64Array,
  im: Float64Array,
  imageOnly = false,
): void {
  const radius = Math.exp(-line.alpha / sampleRateHz);
  const zRe = radius * Math.cos(line.omega / sampleRateHz);
  const zIm = radius * Math.sin(line.omega / sampleRateHz);
  const tail = Math.exp((-line.alpha * size) / sampleRateHz);
  const turn = (line.omega * size) / sampleRateHz;
  const uRe = 1 - tail * Math.cos(turn);
  const uIm = -tail * Math.sin(turn);
  const cRe = line.cRe[channel] * uRe - line.cIm[channel] * uIm;
  const cIm = line.cRe[channel] * uIm + line.cIm[channel] * uRe;
  if (imageOnly) {
    for (let i = from; i < to; i++) {
      // 1 - conj(z) e
      const a = 1 - (zRe * stepRe[i] + zIm * stepIm[i]);
      const b = -(zRe * stepIm[i] - zIm * stepRe[i]);
      const inverse = 1 / (a * a + b * b);
      re[i] -= (cRe * a - cIm * b) * inverse;
      im[i] -= (-cIm * a - cRe * b) * inverse;
    }
    return;
  }
  // Numerator 2 Re(c) - 2 Re(c conj(z)) e, denominator 1 - 2 Re(z) e + |z|^2 e^2, all coefficients real.
  const n0 = 2 * cRe;
  const n1 = -2 * (cRe * zRe + cIm * zIm);
  const d1 = -2 * zRe;
  const d2 = radius * radius;
  for (let i = from; i < to; i++) {
    const x = stepRe[i];
    const y = stepIm[i];
    const pRe = n0 + n1 * x;
    const pIm = n1 * y;
    const qRe = 1 + d1 * x + d2 * (x * x - y * y);
    const qIm = y * (d1 + 2 * d2 * x);
    const inverse = 1 / (qRe * qRe + qIm * qIm);
    re[i] -= (pRe * qRe + pIm * qIm) * inverse;
    im[i] -= (pIm * qRe - pRe * qIm) * inverse;
  }
}
