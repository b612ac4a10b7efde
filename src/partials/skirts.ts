import { type Line, subtractLine } from "./line.ts";
import type { BinSteps } from "./search.ts";

/** Bins in a segment, and segments around a line that are done bin by bin. */
const SEGMENT = 64;
const NEAR_SEGMENTS = 8;
/** Chebyshev's points for a cubic, as parts of a segment. */
const NODES = [0, 1, 2, 3].map((i) => 0.5 - 0.5 * Math.cos(((2 * i + 1) * Math.PI) / 8));
/** Four by four; row i: the coefficients, ascending, of the cubic that is 1 at node i and 0 at the others. */
const BASIS = Float64Array.from(NODES.flatMap((_, i) => lagrange(i)));

/**
 * Takes lines off whole transforms. Without a window a line's skirt is smooth on the exact DFT grid, so far from its peak a
 * cubic through four points of every 64 bins stands for it: eight segments away or more the error is under
 * 2 (1/32)^4 = 2e-6 of the skirt, the remainder term of the interpolation of 1/x. All lines share one cubic a segment.
 */
export class Skirts {
  /** Four complex values a segment, and the steps exp(-j w) of their frequencies. */
  private readonly nodeRe: Float64Array;
  private readonly nodeIm: Float64Array;
  private readonly stepRe: Float64Array;
  private readonly stepIm: Float64Array;
  private readonly segments: number;

  /** For transforms of `size` samples; bins' steps as in Search.steps. */
  constructor(
    private readonly size: number,
    private readonly sampleRateHz: number,
    private readonly binSteps: BinSteps,
  ) {
    this.segments = Math.floor((size / 2 + 1) / SEGMENT);
    const count = 4 * this.segments;
    this.nodeRe = new Float64Array(count);
    this.nodeIm = new Float64Array(count);
    this.stepRe = new Float64Array(count);
    this.stepIm = new Float64Array(count);
    for (let i = 0; i < count; i++) {
      const w = (2 * Math.PI * SEGMENT * ((i >> 2) + NODES[i & 3])) / size;
      this.stepRe[i] = Math.cos(w);
      this.stepIm[i] = -Math.sin(w);
    }
  }

  /** Takes the lines off one channel; `reachOf` says between which bins each is not yet lost in the noise. */
  subtract(
    lines: Line[],
    channel: number,
    reachOf: (line: Line) => [number, number],
    re: Float64Array,
    im: Float64Array,
  ): void {
    const { size, sampleRateHz: fs, segments, nodeRe, nodeIm, stepRe, stepIm, binSteps } = this;
    nodeRe.fill(0);
    nodeIm.fill(0);
    for (const line of lines) {
      const [from, to] = reachOf(line);
      const peak = (line.omega * size) / (2 * Math.PI * fs) / SEGMENT;
      const first = Math.ceil(from / SEGMENT);
      const last = Math.min(segments, Math.floor(to / SEGMENT));
      const near = Math.max(first, Math.min(last, Math.floor(peak) - NEAR_SEGMENTS));
      const far = Math.max(near, Math.min(last, Math.ceil(peak) + NEAR_SEGMENTS));
      subtractLine(line, channel, size, fs, stepRe, stepIm, 4 * first, 4 * near, nodeRe, nodeIm);
      subtractLine(line, channel, size, fs, stepRe, stepIm, 4 * far, 4 * last, nodeRe, nodeIm);
      const bins = (a: number, b: number) => {
        const begin = Math.max(a, from);
        const end = Math.min(b, to);
        binSteps.ensure(begin, end);
        subtractLine(line, channel, size, fs, binSteps.re, binSteps.im, begin, end, re, im);
      };
      if (first >= last) bins(from, to);
      else {
        bins(from, first * SEGMENT);
        bins(near * SEGMENT, far * SEGMENT);
        bins(last * SEGMENT, to);
      }
    }
    for (let s = 0; s < segments; s++) addCubic(nodeRe, s, re);
    for (let s = 0; s < segments; s++) addCubic(nodeIm, s, im);
  }
}

function addCubic(nodes: Float64Array, segment: number, out: Float64Array): void {
  const at = 4 * segment;
  let c0 = 0;
  let c1 = 0;
  let c2 = 0;
  let c3 = 0;
  for (let i = 0; i < 4; i++) {
    const value = nodes[at + i];
    c0 += value * BASIS[4 * i];
    c1 += value * BASIS[4 * i + 1];
    c2 += value * BASIS[4 * i + 2];
    c3 += value * BASIS[4 * i + 3];
  }
  const from = segment * SEGMENT;
  for (let k = 0; k < SEGMENT; k++) {
    const t = k / SEGMENT;
    out[from + k] += c0 + t * (c1 + t * (c2 + t * c3));
  }
}

function lagrange(i: number): number[] {
  let polynomial = [1];
  for (let j = 0; j < 4; j++) {
    if (j === i) continue;
    const scale = 1 / (NODES[i] - NODES[j]);
    const next = new Array<number>(polynomial.length + 1).fill(0);
    for (let k = 0; k < polynomial.length; k++) {
      next[k] -= polynomial[k] * NODES[j] * scale;
      next[k + 1] += polynomial[k] * scale;
    }
    polynomial = next;
  }
  return polynomial;
}
