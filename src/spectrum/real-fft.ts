import FFT from "fft.js";

/** Odd factors that a transform size may carry beside its power of two. */
const ODD_FACTORS = [1, 3, 5, 9, 15];

/**
 * The discrete Fourier transform of a real signal on its exact grid (no window, no padding), plan object per size.
 * Sizes are a * 2^k with a in 1, 3, 5, 9, 15: fft.js does the powers of two, one decimation in time by a joins them.
 * Padding to a power of two would correlate the bins; cutting to one could lose half the record.
 */
export class RealFft {
  readonly size: number;
  private readonly factor: number;
  private readonly subSize: number;
  private readonly plan: FFT;
  private readonly input: Float64Array;
  private readonly spectra: Float64Array[];
  /** Room for the T of one bin, and the roots exp(-2 pi j q / factor). */
  private readonly tRe: Float64Array;
  private readonly tIm: Float64Array;
  private readonly rootRe: Float64Array;
  private readonly rootIm: Float64Array;

  constructor(size: number) {
    const factor = ODD_FACTORS.findLast((a) => size % a === 0 && isPowerOfTwo(size / a));
    if (factor === undefined || size / factor < 4) {
      throw new RangeError(`transform size must be a * 2^k with a in ${ODD_FACTORS.join(", ")}: ${size}`);
    }
    this.size = size;
    this.factor = factor;
    this.subSize = size / factor;
    this.plan = planOf(this.subSize);
    this.input = new Float64Array(this.subSize);
    this.spectra = Array.from({ length: factor }, () => new Float64Array(2 * this.subSize));
    this.tRe = new Float64Array(factor);
    this.tIm = new Float64Array(factor);
    this.rootRe = Float64Array.from({ length: factor }, (_, q) => Math.cos((2 * Math.PI * q) / factor));
    this.rootIm = Float64Array.from({ length: factor }, (_, q) => -Math.sin((2 * Math.PI * q) / factor));
  }

  /** X(k) = sum x(offset + n) exp(-2 pi j k n / size) for k = 0 .. size/2, into re and im (length size/2 + 1 at least). */
  forward(x: ArrayLike<number>, offset: number, re: Float64Array, im: Float64Array): void {
    const { factor, subSize, input, spectra } = this;
    for (let r = 0; r < factor; r++) {
      for (let n = 0, p = offset + r; n < subSize; n++, p += factor) input[n] = x[p];
      this.plan.realTransform(spectra[r] as unknown as number[], input as unknown as number[]);
    }
    if (factor === 1) {
      const s = spectra[0];
      for (let k = 0; k <= subSize / 2; k++) {
        re[k] = s[2 * k];
        im[k] = s[2 * k + 1];
      }
      return;
    }
    this.join(re, im);
  }

  /**
   * X(k + q subSize) = sum_r exp(-2 pi j r q / factor) T_r(k) with T_r(k) = exp(-2 pi j r k / size) S_r(k). The T of one k give
   * `factor` bins; those past size/2 are the conjugates of bins before it, so k up to subSize/2 gives all.
   */
  private join(re: Float64Array, im: Float64Array): void {
    const { size, factor, subSize, spectra, tRe, tIm, rootRe, rootIm } = this;
    const half = size / 2;
    const stepRe = Math.cos((2 * Math.PI) / size);
    const stepIm = -Math.sin((2 * Math.PI) / size);
    let wRe = 1;
    let wIm = 0;
    for (let k = 0; k <= subSize / 2; k++) {
      // The twiddle runs by recurrence and is set afresh every 256 bins, which keeps its error below 1e-13.
      if ((k & 255) === 0) {
        wRe = Math.cos((2 * Math.PI * k) / size);
        wIm = -Math.sin((2 * Math.PI * k) / size);
      }
      let uRe = 1;
      let uIm = 0;
      for (let r = 0; r < factor; r++) {
        const a = spectra[r][2 * k];
        const b = spectra[r][2 * k + 1];
        tRe[r] = uRe * a - uIm * b;
        tIm[r] = uRe * b + uIm * a;
        const next = uRe * wRe - uIm * wIm;
        uIm = uRe * wIm + uIm * wRe;
        uRe = next;
      }
      for (let q = 0; q < factor; q++) {
        let sumRe = tRe[0];
        let sumIm = tIm[0];
        for (let r = 1, turn = q; r < factor; r++) {
          sumRe += tRe[r] * rootRe[turn] - tIm[r] * rootIm[turn];
          sumIm += tRe[r] * rootIm[turn] + tIm[r] * rootRe[turn];
          turn += q;
          if (turn >= factor) turn -= factor;
        }
        const bin = k + q * subSize;
        if (bin <= half) {
          re[bin] = sumRe;
          im[bin] = sumIm;
        } else {
          re[size - bin] = sumRe;
          im[size - bin] = -sumIm;
        }
      }
      const next = wRe * stepRe - wIm * stepIm;
      wIm = wRe * stepIm + wIm * stepRe;
      wRe = next;
    }
  }
}

/** Up to here transforms are kept with their working memory, 12 MiB each at the most. */
const LONGEST_KEPT = 2 ** 19;
const kept = new Map<number, RealFft>();

/** The transform of a size, kept for the next time: working memory fresh from the system costs as much as the transform. */
export function realFftOf(size: number): RealFft {
  const known = kept.get(size);
  if (known) return known;
  const made = new RealFft(size);
  if (size <= LONGEST_KEPT) kept.set(size, made);
  return made;
}

/** Plans made so far: the halves of one record and its later starts ask for the same ones, and their tables cost as much as a transform. */
const plans = new Map<number, FFT>();

function planOf(size: number): FFT {
  const known = plans.get(size);
  if (known) return known;
  const plan = new FFT(size);
  plans.set(size, plan);
  return plan;
}

function isPowerOfTwo(n: number): boolean {
  return Number.isInteger(n) && n > 0 && (n & (n - 1)) === 0;
}

/** Shorter transforms hold too few bins for a neighbourhood of lines. */
const SHORTEST = 128;

/** The largest transform size that is not over `samples`; 0 when there is none of at least 128. */
export function largestSizeWithin(samples: number): number {
  let best = 0;
  for (const a of ODD_FACTORS) {
    const k = Math.floor(Math.log2(samples / a));
    if (k >= 6) best = Math.max(best, a * 2 ** k);
  }
  return best >= SHORTEST ? best : 0;
}
