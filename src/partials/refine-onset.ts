import type { Line } from "./line.ts";
import { linePower } from "./line.ts";
import type { RingDown } from "./ring-down.ts";

const BACK_S = 0.02;
const FORWARD_S = 0.01;

/**
 * The start of the ring-down to the sample: the model, fitted from `startSample`, is extrapolated backwards; the best
 * start n0 makes sum over n >= n0 of x^2 - (x - m)^2 largest; where the model explains nothing, the start stays. Lines that decay faster than 150 /s are left out, their
 * extrapolation explodes. Never before the last contact of a rod that bounced.
 */
export function refineStart(ring: RingDown, lines: Line[], startSample: number): number {
  const fs = ring.sampleRateHz;
  const from = Math.max(0, startSample - Math.round(BACK_S * fs));
  const to = Math.min(ring.endSample, startSample + Math.round(FORWARD_S * fs));
  const gain = new Float64Array(to - from);
  const model = new Float64Array(to - from);
  const strongest = [...lines].sort((a, b) => linePower(b) - linePower(a)).slice(0, 40);
  for (let c = 0; c < ring.channels.length; c++) {
    model.fill(0);
    for (const line of strongest) {
      if (line.alpha >= 150) continue;
      addLine(model, line, c, (from - startSample) / fs, fs);
    }
    const x = ring.channels[c];
    for (let n = from; n < to; n++) {
      const d = x[n] - model[n - from];
      gain[n - from] += x[n] * x[n] - d * d;
    }
  }
  let sum = 0;
  let best = 0;
  let at = startSample;
  for (let n = to - 1; n >= from; n--) {
    sum += gain[n - from];
    if (sum > best) {
      best = sum;
      at = n;
    }
  }
  return at;
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
