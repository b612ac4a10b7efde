import type { Band, Poles } from "./band.ts";
import { type Baseband, transformed } from "./baseband.ts";
import { type Column, tangentBasis, whitenedOff } from "./columns.ts";
import { type BandFit, boundsAround, type FitScratch, fitBand } from "./fit-band.ts";
import { type Glide, glideDelayS, glideGradient } from "./glide.ts";
import { degreesOfFreedom, growFit } from "./grow.ts";

export interface GlideFit {
  glide: Glide;
  /** Covariance of the amount and of the logarithm of the time constant: [aa, at, tt]. */
  covariance: [number, number, number];
  /** Sum over the bands of degrees of freedom times the logarithm of what is left over. */
  left: number;
  /** The part of a band's energy over the noise that its lines leave, median over the bands. */
  share: number;
  poles: Poles[];
  /** Decay rate of the strongest line of each band. */
  rates: number[];
}

/** What is known of the sound beforehand. */
export interface GlideSetting {
  /** The glide that is already off the time axis of the sound. */
  taken: Glide;
  /** By whose clock lines decay: by the listener's t or, as the phase, by t + d(t). */
  decaysIn: "t" | "u";
  /** Decay rate in each band, about; null before it is known. */
  rates: number[] | null;
  /** The part of the energy of every bin that is noise too, at an angular frequency. */
  departure: (omega: number) => number;
}

/** Gain in nats that one further line in a band must bring, and the lines a band may have. */
const THRESHOLD = 15;
const MOST_LINES = 3;
const ROUNDS = 25;
const SHORTEST_S = 0.02;
const LONGEST_S = 4;
const MOST_AMOUNT = 0.02;

/**
 * The common glide of the strongest bands, by least squares (Gauss-Newton, damped): each band is a sum of few damped lines once
 * its glide is taken off, so of the change of the bins with the glide only what those lines cannot follow counts. A band
 * weighs by what it leaves over.
 *
 * @param known lines of each band to begin with; null: one line each, at the strongest bin
 * @param grow whether bands may get more lines, once, before the glide is moved
 */
export function fitGlide(
  basebands: Baseband[],
  first: Glide,
  setting: GlideSetting,
  scratch: FitScratch,
  known: Poles[] | null,
  grow: boolean,
): GlideFit {
  let current = evaluate(basebands, first, setting, scratch, known, grow);
  let lambda = 1e-3;
  for (let round = 0; round < ROUNDS; round++) {
    const { a, b } = current;
    const h = [a[0] * (1 + lambda), a[1], a[2] * (1 + lambda)];
    const det = h[0] * h[2] - h[1] * h[1];
    if (!(det > 0)) break;
    const dAmount = -(h[2] * b[0] - h[1] * b[1]) / det;
    const dLog = -(h[0] * b[1] - h[1] * b[0]) / det;
    const glide = {
      amount: Math.min(MOST_AMOUNT, Math.max(-MOST_AMOUNT, current.glide.amount + dAmount)),
      timeConstantS: Math.min(
        LONGEST_S,
        Math.max(SHORTEST_S, current.glide.timeConstantS * Math.exp(Math.min(0.5, Math.max(-0.5, dLog)))),
      ),
    };
    const next = evaluate(basebands, glide, setting, scratch, current.poles, false);
    if (next.left < current.left) {
      const gained = current.left - next.left;
      current = next;
      lambda = Math.max(1e-9, lambda / 10);
      if (gained < 1e-2) break;
    } else {
      lambda = Math.max(lambda, 1e-4) * 10;
      if (lambda > 1e6) break;
    }
  }
  const shares = [...current.shares].sort((a, b) => a - b);
  return { ...current, covariance: covarianceOf(current), share: shares[shares.length >> 1] };
}

interface Evaluated {
  glide: Glide;
  left: number;
  shares: number[];
  poles: Poles[];
  rates: number[];
  /** Normal matrix [aa, at, tt] and gradient over all bands, and each band's own, weighted. */
  a: [number, number, number];
  b: [number, number];
  own: { a: [number, number, number]; b: [number, number] }[];
}

function evaluate(
  basebands: Baseband[],
  glide: Glide,
  setting: GlideSetting,
  scratch: FitScratch,
  known: Poles[] | null,
  grow: boolean,
): Evaluated {
  const out: Evaluated = {
    glide,
    left: 0,
    shares: [],
    poles: [],
    rates: [],
    a: [0, 0, 0],
    b: [0, 0],
    own: [],
  };
  basebands.forEach((base, k) => {
    const { band, omega, timeS } = base;
    const n = timeS.length;
    const departure = setting.departure(omega);
    const rate = setting.rates?.[k] ?? 0;
    const gRe = new Float64Array(n);
    const gIm = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const delay = glideDelayS(glide, timeS[i]);
      const already = glideDelayS(setting.taken, timeS[i]);
      const phase = -omega * (delay - already);
      // A line is to decay by the time axis of the sound.
      const gain = Math.exp(-rate * (already - (setting.decaysIn === "u" ? delay : 0)));
      gRe[i] = gain * Math.cos(phase);
      gIm[i] = gain * Math.sin(phase);
    }
    for (let c = 0; c < base.re.length; c++) {
      const { re, im, weight } = band.channels[c];
      transformed(base, c, gRe, gIm, re, im);
      for (let i = 0; i < band.count; i++) {
        weight[i] = 1 / Math.sqrt(base.variance[c][i] + departure * (re[i] * re[i] + im[i] * im[i]));
      }
    }
    let fit = known ? fitFrom(base, known[k], scratch) : firstFit(base, scratch);
    if (grow) {
      const rules = {
        threshold: THRESHOLD,
        maxPoles: MOST_LINES,
        misfit: 0,
        workLimit: Number.POSITIVE_INFINITY,
      };
      fit = growFit(band, fit, rules, scratch).fit;
    }
    const dof = degreesOfFreedom(band, fit.poles.alpha.length);
    const chi = Math.max(fit.rss / dof, 1e-9);
    out.left += dof * Math.log(Math.max(chi, 1));
    out.shares.push(Math.max(0, fit.rss - dof) / energyOf(band));
    out.poles.push(fit.poles);
    out.rates.push(fit.poles.alpha[strongestOf(base, fit.poles, scratch)]);
    const own = changeOf(base, fit, glide, gRe, gIm);
    const weight = 1 / Math.max(chi, 1);
    own.a = own.a.map((v) => v * weight) as [number, number, number];
    own.b = own.b.map((v) => v * weight) as [number, number];
    out.own.push(own);
    for (let i = 0; i < 3; i++) out.a[i] += own.a[i];
    for (let i = 0; i < 2; i++) out.b[i] += own.b[i];
  });
  return out;
}

function energyOf({ channels }: Band): number {
  let sum = 0;
  for (const { re, im, weight } of channels) {
    for (let i = 0; i < re.length; i++) sum += (re[i] ** 2 + im[i] ** 2) * weight[i] ** 2;
  }
  return sum;
}

function strongestOf({ band }: Baseband, poles: Poles, scratch: FitScratch): number {
  const p = scratch.current;
  p.evaluate(band, poles);
  let best = 0;
  let most = -1;
  for (let j = 0; j < poles.alpha.length; j++) {
    let power = 0;
    for (let c = 0; c < band.channels.length; c++) {
      power += p.cRe[c * p.columns + j] ** 2 + p.cIm[c * p.columns + j] ** 2;
    }
    if (power > most) {
      most = power;
      best = j;
    }
  }
  return best;
}

function fitFrom({ band }: Baseband, poles: Poles, scratch: FitScratch): BandFit {
  return fitBand(band, poles, boundsAround(poles.alpha), scratch, 20);
}

/** One line at the strongest bin, with the best of a few decay rates. */
function firstFit({ band }: Baseband, scratch: FitScratch): BandFit {
  let top = 0;
  let power = -1;
  for (let i = 0; i < band.count; i++) {
    const p = band.channels.reduce((s, { re, im }) => s + re[i] ** 2 + im[i] ** 2, 0);
    if (p > power) {
      power = p;
      top = i;
    }
  }
  let best: BandFit | null = null;
  for (const rate of [0.5, 3, 15]) {
    const poles = { alpha: Float64Array.of(rate), omega: Float64Array.of(band.omega[top]) };
    const fit = fitBand(band, poles, boundsAround(poles.alpha), scratch);
    if (best === null || fit.rss < best.rss) best = fit;
  }
  return best!;
}

/** What the glide's parameters do to the bins of a band, and the lines, to first order, cannot follow. */
function changeOf(base: Baseband, fit: BandFit, glide: Glide, gRe: Float64Array, gIm: Float64Array) {
  const { band, omega, timeS } = base;
  const n = band.count;
  const a: [number, number, number] = [0, 0, 0];
  const b: [number, number] = [0, 0];
  const size = timeS.length;
  const factor = [0, 1].map(() => ({ re: new Float64Array(size), im: new Float64Array(size) }));
  for (let i = 0; i < size; i++) {
    const gradient = glideGradient(glide, timeS[i]);
    for (let p = 0; p < 2; p++) {
      const turn = -omega * gradient[p];
      factor[p].re[i] = -turn * gIm[i];
      factor[p].im[i] = turn * gRe[i];
    }
  }
  for (let c = 0; c < band.channels.length; c++) {
    const basis = tangentBasis(band, c, fit.poles);
    const { re, im, weight } = band.channels[c];
    const columns = factor.map((f) => {
      const x = new Float64Array(n);
      const y = new Float64Array(n);
      transformed(base, c, f.re, f.im, x, y);
      return whitenedOff(basis, x, y, weight);
    });
    const rest = whitenedOff(basis, re.slice(), im.slice(), weight);
    const product = (u: Column, v: Column) => {
      let sum = 0;
      for (let i = 0; i < n; i++) sum += u.re[i] * v.re[i] + u.im[i] * v.im[i];
      return sum;
    };
    a[0] += product(columns[0], columns[0]);
    a[1] += product(columns[0], columns[1]);
    a[2] += product(columns[1], columns[1]);
    b[0] += product(columns[0], rest);
    b[1] += product(columns[1], rest);
  }
  return { a, b };
}

/**
 * Half the inverse of the normal matrix (real parameters, complex bins of unit variance), and the jackknife over the bands,
 * one step of the fit without each: bands that do not glide quite alike are an error that the bins do not know of.
 */
function covarianceOf({ a, own }: Evaluated): [number, number, number] {
  const whole = inverted(a);
  if (whole === null) return [Number.POSITIVE_INFINITY, 0, Number.POSITIVE_INFINITY];
  const covariance: [number, number, number] = [whole[0] / 2, whole[1] / 2, whole[2] / 2];
  const share = (own.length - 1) / own.length;
  for (const { a: h, b } of own) {
    const rest = inverted([a[0] - h[0], a[1] - h[1], a[2] - h[2]]);
    if (rest === null) return [Number.POSITIVE_INFINITY, 0, Number.POSITIVE_INFINITY];
    const x = rest[0] * b[0] + rest[1] * b[1];
    const y = rest[1] * b[0] + rest[2] * b[1];
    covariance[0] += share * x * x;
    covariance[1] += share * x * y;
    covariance[2] += share * y * y;
  }
  return covariance;
}

/** Inverse of a symmetric 2 x 2 matrix [aa, at, tt], or null. */
function inverted([aa, at, tt]: [number, number, number]): [number, number, number] | null {
  const det = aa * tt - at * at;
  return det > 1e-12 * aa * tt ? [tt / det, -at / det, aa / det] : null;
}
