import type { Line } from "./line.ts";
import { linePower } from "./line.ts";
import type { RingDown } from "./ring-down.ts";

const BACK_S = 0.02;
const FORWARD_S = 0.01;
/** A line's level BACK_S earlier must be known to this part (one standard deviation): a twentieth leaves -26 dB of it unexplained. */
const LARGEST_DOUBT = 0.05;
/** A block of a millisecond whose residual stands this far (in power) over that after the start is no free decay ... */
const BLOCK_S = 0.001;
const OUTSTANDING = 4;
/** ... unless it is this far under the ring itself. */
const UNHEARD = 1e-6;

/**
 * The start of the ring-down to the sample: the model, fitted from `startSample`, is extrapolated backwards; the best
 * start n0 makes sum over n >= n0 of x^2 - (x - m)^2 largest; where the model explains nothing, the start stays. Lines
 * whose decay rate is not known well enough are left out: their level, carried back, would be a guess.
 *
 * The ring may begin before the noise of the blow itself (the click of the rod) has gone: the start moves back only as
 * far as the residual stays what it is after the start. A loud click of 2 ms let into the fit costs ten times in error.
 */
export function refineStart(ring: RingDown, lines: Line[], startSample: number): number {
  const fs = ring.sampleRateHz;
  const from = Math.max(0, startSample - Math.round(BACK_S * fs));
  const to = Math.min(ring.endSample, startSample + Math.round(FORWARD_S * fs));
  const gain = new Float64Array(to - from);
  const residual = new Float64Array(to - from);
  const model = new Float64Array(to - from);
  const strongest = [...lines].sort((a, b) => linePower(b) - linePower(a)).slice(0, 40);
  for (let c = 0; c < ring.channels.length; c++) {
    model.fill(0);
    for (const line of strongest) {
      if (!(line.sdAlpha * BACK_S < LARGEST_DOUBT)) continue;
      addLine(model, line, c, (from - startSample) / fs, fs);
    }
    const x = ring.channels[c];
    for (let n = from; n < to; n++) {
      const d = x[n] - model[n - from];
      gain[n - from] += x[n] * x[n] - d * d;
      residual[n - from] += d * d;
    }
  }
  const at = bestStart(gain, from, startSample);
  const block = Math.round(BLOCK_S * fs);
  const usual = mean(residual, startSample - from, to - from);
  for (let n = startSample; n > at; n -= block) {
    const first = Math.max(n - block, at) - from;
    const left = mean(residual, first, n - from);
    // x^2 = gain + residual.
    const ring = left + mean(gain, first, n - from);
    if (left > Math.max(OUTSTANDING * usual, UNHEARD * ring)) return n;
  }
  return at;
}

function bestStart(gain: Float64Array, from: number, startSample: number): number {
  let sum = 0;
  let best = 0;
  let at = startSample;
  for (let i = gain.length - 1; i >= 0; i--) {
    sum += gain[i];
    if (sum > best) {
      best = sum;
      at = from + i;
    }
  }
  return at;
}

function mean(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i];
  return sum / Math.max(1, to - from);
}

/** Adds 2 Re(c exp(s t)) for t = t0 + n / fs, by recurrence. */
function addLine(out: Float64Array, line: Line, channel: number, t0: number, fs: number): void {
  const fall = 2 * Math.exp(-line.alpha * t0);
  const turn = line.omega * t0;
  let re = fall * (line.cRe[channel] * Math.cos(turn) - line.cIm[channel] * Math.sin(turn));
  let im = fall * (line.cRe[channel] * Math.sin(turn) + line.cIm[channel] * Math.cos(turn));
  const radius = Math.exp(-line.alpha / fs);
  const zRe = radius * Math.cos(line.omega / fs);
  const zIm = radius * Math.sin(line.omega / fs);
  for (let n = 0; n < out.length; n++) {
    out[n] += re;
    const next = re * zRe - im * zIm;
    im = re * zIm + im * zRe;
    re = next;
  }
}
