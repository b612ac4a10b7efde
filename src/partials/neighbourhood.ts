import { noiseAt } from "../spectrum/index.ts";
import type { Band } from "./band.ts";
import { type Line, subtractLine } from "./line.ts";
import { levelFor, type Search } from "./search.ts";

/** A band reaches ten linewidths to either side of its lines, eight bins at least. */
const REACH_LINEWIDTHS = 10;
const REACH_BINS = 8;
const MOST_BINS = 1600;

/** Lines whose decay rates differ by more are fitted in turn, each in the transform that suits it. */
const MOST_DECAY_RATIO = 40;

/** Lines closer than so many linewidths, and four bins, are fitted together. */
const CLOSE_LINEWIDTHS = 6;
/** More lines than this are not fitted at once: then only those half as far apart are, and so on. */
const MOST_TOGETHER = 8;
const LEAST_LINEWIDTHS = 0.5;

/** Lines that are fitted together, in groups that ascend in frequency. */
export function neighbourhoods(search: Search): Line[][] {
  return groupsWithin(search, search.lines, CLOSE_LINEWIDTHS);
}

function groupsWithin(search: Search, all: Line[], linewidths: number): Line[][] {
  const lines = [...all].sort((a, b) => a.omega - b.omega);
  let groups: Line[][] = [];
  for (const line of lines) {
    const joined = [line];
    const apart: Line[][] = [];
    for (const group of groups) {
      if (group.some((other) => areClose(search, line, other, linewidths))) joined.unshift(...group);
      else apart.push(group);
    }
    groups = [...apart, joined];
  }
  if (linewidths < LEAST_LINEWIDTHS) return groups;
  return groups.flatMap((g) => (g.length > MOST_TOGETHER ? groupsWithin(search, g, linewidths / 2) : [g]));
}

function areClose(search: Search, a: Line, b: Line, linewidths: number): boolean {
  const slow = Math.max(1e-3, Math.min(a.alpha, b.alpha));
  const fast = Math.max(a.alpha, b.alpha);
  if (fast > MOST_DECAY_RATIO * slow && fast > 1) return false;
  const bin = search.sampleRateHz / search.ladder[levelFor(search, slow, a.omega)].size;
  const distanceHz = Math.abs(a.omega - b.omega) / (2 * Math.PI);
  return distanceHz < linewidths * (fast / Math.PI + (4 / CLOSE_LINEWIDTHS) * bin);
}

/** The union of the bins around the lines of a group, with every other line and every image taken off, whitened. */
export function bandOf(search: Search, group: Line[]): Band {
  const fs = search.sampleRateHz;
  const slowest = group.reduce((a, b) => (b.alpha < a.alpha ? b : a));
  const level = levelFor(search, slowest.alpha, slowest.omega);
  const step = search.ladder[level];
  const bins = unionOfBins(group, step.size, fs);
  const n = bins.length;
  const stepRe = new Float64Array(n);
  const stepIm = new Float64Array(n);
  const omega = new Float64Array(n);
  const steps = search.steps[level];
  for (let i = 0; i < n; i++) {
    steps.ensure(bins[i], bins[i] + 1);
    stepRe[i] = steps.re[bins[i]];
    stepIm[i] = steps.im[bins[i]];
    omega[i] = (2 * Math.PI * bins[i] * fs) / step.size;
  }
  const own = new Set(group);
  const channels = step.re.map((_, c) => {
    const re = new Float64Array(n);
    const im = new Float64Array(n);
    const weight = new Float64Array(n);
    const noise = search.noise[level][c];
    for (let i = 0; i < n; i++) {
      re[i] = step.re[c][bins[i]];
      im[i] = step.im[c][bins[i]];
      const left = search.departure ? search.departure(omega[i]) * (re[i] * re[i] + im[i] * im[i]) : 0;
      weight[i] = 1 / Math.sqrt(step.size * noiseAt(noise, omega[i] / (2 * Math.PI)) + left);
    }
    for (const line of search.lines) {
      subtractLine(line, c, step.size, fs, stepRe, stepIm, 0, n, re, im, own.has(line));
    }
    return { re, im, weight };
  });
  return { level, size: step.size, sampleRateHz: fs, count: n, bins, omega, stepRe, stepIm, channels };
}

/**
 * Bins of the union, ascending. Where a fast line shares the band with a slow one the union may run to thousands; beyond
 * the limit the reach of every line is cut in proportion, the slow lines' eight bins kept.
 */
function unionOfBins(group: Line[], size: number, fs: number): Int32Array {
  for (let reach = REACH_LINEWIDTHS; ; reach *= 0.6) {
    const bins = unionWithin(group, size, fs, reach);
    if (bins.length <= MOST_BINS || reach < 1) return Int32Array.from(bins);
  }
}

function unionWithin(group: Line[], size: number, fs: number, reachLinewidths: number): number[] {
  const bin = fs / size;
  const ranges = group.map((line) => {
    const f = line.omega / (2 * Math.PI);
    const half = Math.max((reachLinewidths * line.alpha) / Math.PI, REACH_BINS * bin);
    return [
      Math.max(1, Math.floor((f - half) / bin)),
      Math.min(size / 2 - 1, Math.floor((f + half) / bin) + 1),
    ];
  });
  ranges.sort((a, b) => a[0] - b[0]);
  const bins: number[] = [];
  let next = 0;
  for (const [from, to] of ranges) {
    for (let k = Math.max(from, next); k <= to; k++) bins.push(k);
    next = Math.max(next, to + 1);
  }
  return bins;
}
