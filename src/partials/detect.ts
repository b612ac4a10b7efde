import { noiseAt } from "../spectrum/index.ts";
import { misfitReach } from "./grow.ts";
import { isOpen, type Search } from "./search.ts";

export interface Detection {
  /** Power over the noise, in units of the noise's mean. */
  power: number;
  frequencyHz: number;
  level: number;
}

const FALSE_ALARM = 0.01;
const LOWEST_HZ = 30;
const HIGHEST_SHARE = 0.48;
const AT_A_TIME = 16;
/** Without growth the lines around a strong one are left to be its departure: more can be told apart at once. */
const MORE_AT_A_TIME = 32;

/**
 * Threshold for a sum over C channels of unit exponentials (a gamma tail), so that noise alone passes in one of a
 * hundred recordings.
 */
export function detectionThreshold(search: Search): number {
  let bins = 0;
  for (const l of search.ladder) bins += l.size / 2;
  const channels = search.ladder[0].re.length;
  const t1 = Math.log(bins / FALSE_ALARM);
  let t = t1;
  for (let i = 0; i < 20; i++) t = t1 + (channels - 1) * Math.log(t) - logFactorial(channels - 1);
  return t;
}

function logFactorial(n: number): number {
  let sum = 0;
  for (let i = 2; i <= n; i++) sum += Math.log(i);
  return sum;
}

/**
 * Local maxima of the residual over the noise in every ladder step, strongest first, skipping the skirts of those
 * already taken. The Hann window is applied on the bins as (-1/4, 1/2, -1/4); from the third pass on the plain bins are
 * searched too, which see a short line half a bin better.
 */
export function detect(search: Search, pass: number): Detection[] {
  const threshold = detectionThreshold(search);
  const all: Detection[] = [];
  for (let level = 0; level < search.ladder.length; level++) {
    peaksOfStep(search, level, true, threshold, all);
    if (pass >= 2) peaksOfStep(search, level, false, threshold, all);
  }
  const misfitting = search.misfit > 0 ? search.lines.filter((l) => l.misfitting) : [];
  const passing = all.filter((d) => {
    if (!isOpen(search, d.level, 2 * Math.PI * d.frequencyHz)) return false;
    let needed = threshold;
    if (search.departure)
      needed *= 1 + search.departure(2 * Math.PI * d.frequencyHz) * powerBefore(search, d);
    for (const l of misfitting) {
      // What lies within half a linewidth of it would be taken for its own departure.
      if (!search.growing && Math.abs(2 * Math.PI * d.frequencyHz - l.omega) < l.alpha) return false;
      const reach = misfitReach(l.alpha, l.omega);
      needed += (search.misfit * l.rho) / (1 + ((2 * Math.PI * d.frequencyHz - l.omega) / reach) ** 4);
    }
    return d.power > needed;
  });
  passing.sort((a, b) => b.power - a.power);
  const taken: Detection[] = [];
  for (const d of passing.slice(0, 4000)) {
    if (taken.every((t) => standsClear(search, d, t))) taken.push(d);
    if (taken.length >= (search.growing ? AT_A_TIME : MORE_AT_A_TIME)) break;
  }
  return taken;
}

/** Power over the noise, as of the detection, before any line was taken off. */
function powerBefore(search: Search, { frequencyHz, level }: Detection): number {
  const { size, re, im } = search.ladder[level];
  const k = Math.round((frequencyHz * size) / search.sampleRateHz);
  let power = 0;
  for (let c = 0; c < re.length; c++) {
    power += hannPower(re[c], im[c], k) / (0.375 * size * noiseAt(search.noise[level][c], frequencyHz));
  }
  return power;
}

/** Whether a weaker peak is more than the skirt of a stronger one. */
function standsClear(search: Search, weaker: Detection, stronger: Detection): boolean {
  const { ladder, sampleRateHz } = search;
  const width = 2.5 * (sampleRateHz / Math.min(ladder[weaker.level].size, ladder[stronger.level].size));
  const distance = Math.abs(weaker.frequencyHz - stronger.frequencyHz);
  return distance >= 2 * width && weaker.power >= 3 * stronger.power * (width / distance) ** 3;
}

function peaksOfStep(
  search: Search,
  level: number,
  hann: boolean,
  threshold: number,
  out: Detection[],
): void {
  const { size, re, im } = search.residual[level];
  const fs = search.sampleRateHz;
  const n = size / 2 + 1;
  if (search.power.length < n) search.power = new Float64Array(n);
  const { power } = search;
  power.fill(0, 0, n);
  const gain = (hann ? 0.375 : 1) * size;
  for (let c = 0; c < re.length; c++) {
    const { centresHz, variance } = search.noise[level][c];
    const last = centresHz.length - 1;
    const bin = fs / size;
    // Before the first centre of the noise, between centres, after the last: the inner loop holds no search.
    for (let i = 0; i <= last + 1; i++) {
      const first = i === 0 ? 1 : Math.max(1, Math.ceil(centresHz[i - 1] / bin));
      const end = i > last ? n - 1 : Math.min(n - 1, Math.ceil(centresHz[i] / bin));
      const width = i === 0 || i > last ? 0 : (centresHz[i] - centresHz[i - 1]) / bin;
      const start = variance[Math.max(0, i - 1)];
      const slope = width > 0 ? (variance[i] - start) / width : 0;
      const offset = width > 0 ? centresHz[i - 1] / bin : 0;
      const add = hann ? addHannPower : addPower;
      add(power, re[c], im[c], first, end, gain * start, gain * slope, offset);
    }
  }
  const from = Math.max(3, Math.ceil((LOWEST_HZ * size) / fs));
  const to = Math.min(n - 3, Math.floor(HIGHEST_SHARE * size));
  for (let k = from; k < to; k++) {
    const p = power[k];
    if (p > threshold && p >= power[k - 1] && p >= power[k + 1] && p >= power[k - 2] && p >= power[k + 2]) {
      out.push({ power: p, frequencyHz: (k * fs) / size, level });
    }
  }
}

/** Adds |X|^2 over a noise that is `noise` at bin `offset` and rises by `slope` a bin. */
function addPower(
  power: Float64Array,
  x: Float64Array,
  y: Float64Array,
  first: number,
  end: number,
  noise: number,
  slope: number,
  offset: number,
): void {
  for (let k = first; k < end; k++) power[k] += (x[k] * x[k] + y[k] * y[k]) / (noise + slope * (k - offset));
}

/** The same with the Hann window. */
function addHannPower(
  power: Float64Array,
  x: Float64Array,
  y: Float64Array,
  first: number,
  end: number,
  noise: number,
  slope: number,
  offset: number,
): void {
  for (let k = first; k < end; k++) power[k] += hannPower(x, y, k) / (noise + slope * (k - offset));
}

/** |X|^2 at bin k under the Hann window, which on the bins is (-1/4, 1/2, -1/4). */
function hannPower(x: Float64Array, y: Float64Array, k: number): number {
  const a = 0.5 * x[k] - 0.25 * (x[k - 1] + x[k + 1]);
  const b = 0.5 * y[k] - 0.25 * (y[k - 1] + y[k + 1]);
  return a * a + b * b;
}
