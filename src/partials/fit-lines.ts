import { noiseAt } from "../spectrum/index.ts";
import type { Band, Poles } from "./band.ts";
import { lineCovariance } from "./covariance.ts";
import { type BandFit, boundsAround, DECAY_RATE_MAX, DECAY_RATE_MIN, fitBand } from "./fit-band.ts";
import { degreesOfFreedom, excess, growFit } from "./grow.ts";
import { candidateLine, type Line, linePower } from "./line.ts";
import { bandOf } from "./neighbourhood.ts";
import type { Projection } from "./projection.ts";
import { scoreFurtherLine } from "./score.ts";
import type { Search } from "./search.ts";

/** Gain in nats that one further line in a band must bring, one channel; each more channel has two more amplitudes. */
export const SPLIT_THRESHOLD = 15;

/** A linewidth and a half, in decay rates; and bins. */
const LOCAL_RATES = 3;
const LOCAL_BINS = 2;

/** Lines in one neighbourhood at the most. */
const MOST_IN_NEIGHBOURHOOD = 8;

export function splitThreshold(search: Search): number {
  return SPLIT_THRESHOLD + 2.5 * (search.ladder[0].re.length - 1);
}

export function polesOf(group: Line[]): Poles {
  return { alpha: Float64Array.from(group, (l) => l.alpha), omega: Float64Array.from(group, (l) => l.omega) };
}

/** Fits one neighbourhood and writes the result into its lines; `grow` lets it add lines to the search. */
export function fitNeighbourhood(search: Search, group: Line[], grow: boolean): void {
  const band = bandOf(search, group);
  const start = polesOf(group);
  const bounds = boundsAround(start.alpha);
  let fit = fitBand(band, start, bounds, search.scratch, search.iterations);
  if (group.some((l) => linePower(l) === 0)) {
    // A new line's decay rate is only guessed from the ladder step it stood out in: try a third and three times it.
    for (const factor of [0.3, 3]) {
      const alpha = Float64Array.from(group, (l) =>
        linePower(l) === 0 ? Math.min(Math.max(l.alpha * factor, DECAY_RATE_MIN), DECAY_RATE_MAX) : l.alpha,
      );
      const other = fitBand(band, { alpha, omega: start.omega }, bounds, search.scratch, search.iterations);
      if (other.rss < fit.rss - 0.5) fit = other;
    }
  }
  // A neighbourhood that could not be brought to the noise once is not grown again: more lines would only chase its misfit.
  const given = group.every((l) => l.misfitting);
  let misfitting = (given || !grow) && group.some((l) => l.misfitting);
  if (grow && search.growing && !given && band.count < 2500 && group.length < MOST_IN_NEIGHBOURHOOD) {
    search.scratch.current.evaluate(band, fit.poles);
    if (asksForMore(search, band, fit)) {
      const rules = {
        threshold: splitThreshold(search),
        maxPoles: Math.min(group.length + 3, MOST_IN_NEIGHBOURHOOD),
        misfit: search.misfit,
        workLimit: search.workLimit,
      };
      const grown = growFit(band, fit, rules, search.scratch);
      fit = grown.fit;
      misfitting = grown.misfitting;
    }
  }
  if (!search.growing) misfitting = excess(band, fit) > 3;
  store(search, group, band, fit, misfitting);
}

function asksForMore(search: Search, band: Band, fit: BandFit): boolean {
  if (excess(band, fit) > 1) return true;
  const sorted = Array.from(fit.poles.alpha).sort((a, b) => a - b);
  const middle = sorted[sorted.length >> 1];
  // A band is twenty linewidths wide: five places in each are enough to see whether something is left.
  const stride = Math.max(1, Math.floor(band.count / 100));
  const best = scoreFurtherLine(band, search.scratch.current, [0.5 * middle, 1.5 * middle], stride)[0];
  return best.gain > 0.5 * splitThreshold(search);
}

/** Writes poles, coefficients and standard deviations into the lines of the group, adding or removing lines as the fit has. */
export function store(search: Search, group: Line[], band: Band, fit: BandFit, misfitting: boolean): void {
  const m = fit.poles.alpha.length;
  const channels = band.channels.length;
  const fs = search.sampleRateHz;
  while (group.length < m) {
    const line = candidateLine(0, 0, channels);
    group.push(line);
    search.lines.push(line);
  }
  if (group.length > m) {
    const gone = new Set(group.splice(m));
    search.lines = search.lines.filter((l) => !gone.has(l));
  }
  const p = search.scratch.current;
  p.evaluate(band, fit.poles);
  const covariance = lineCovariance(p, band, fit.poles);
  const chi = fit.rss / degreesOfFreedom(band, m);
  for (let j = 0; j < m; j++) {
    const line = group[j];
    line.alpha = fit.poles.alpha[j];
    line.omega = fit.poles.omega[j];
    const tail = Math.exp((-line.alpha * band.size) / fs);
    const turn = (line.omega * band.size) / fs;
    const uRe = 1 - tail * Math.cos(turn);
    const uIm = -tail * Math.sin(turn);
    const u2 = uRe * uRe + uIm * uIm;
    line.rho = 0;
    for (let c = 0; c < channels; c++) {
      const a = p.cRe[c * p.columns + j];
      const b = p.cIm[c * p.columns + j];
      line.cRe[c] = (a * uRe + b * uIm) / u2;
      line.cIm[c] = (b * uRe - a * uIm) / u2;
      const s = noiseAt(search.noise[band.level][c], line.omega / (2 * Math.PI));
      const power = line.cRe[c] ** 2 + line.cIm[c] ** 2;
      line.rho += (power * fs * (1 - tail * tail)) / (2 * Math.max(line.alpha, 1e-4)) / s;
    }
    // Where the ring departs from free decays it does so at the lines: what is left there, not what is left over the band, is their error.
    const inflate = Math.sqrt(Math.max(1, chi, search.growing ? 0 : chiAt(line, band, p)));
    line.sdOmega = covariance.sdPole[j] * inflate;
    line.sdAlpha = covariance.sdPole[j] * inflate;
    line.sdLogAmplitude = covariance.sdLogAmplitude[j] * inflate;
    line.covLogAmplitudeAlpha = covariance.covLogAmplitudeAlpha[j] * inflate * inflate;
    line.chi = chi;
    line.misfitting = misfitting;
  }
}

/** Whitened residual over degrees of freedom in the bins within a linewidth and a half of a line, two bins at least. */
function chiAt(line: Line, band: Band, p: Projection): number {
  const bin = (2 * Math.PI * band.sampleRateHz) / band.size;
  const reach = Math.max(LOCAL_RATES * line.alpha, LOCAL_BINS * bin);
  let sum = 0;
  let bins = 0;
  for (let i = 0; i < band.count; i++) {
    if (Math.abs(band.omega[i] - line.omega) > reach) continue;
    bins++;
    for (let c = 0; c < band.channels.length; c++) sum += p.residualRe[c][i] ** 2 + p.residualIm[c][i] ** 2;
  }
  // The line's pole and amplitudes took as much as so many bins away.
  return sum / Math.max(1, band.channels.length * (bins - 1) - 1);
}
