import { type Glide, glideDelayS, glideTimeS } from "./glide.ts";
import type { RingDown } from "./ring-down.ts";

/** Taps to either side, and places of the table between two samples. */
const HALF_TAPS = 32;
const PHASES = 1024;
/** Kaiser's window for side lobes 100 dB down: 0.1102 (100 - 8.7). */
const BETA = 10.06;

let table: Float64Array | null = null;

/**
 * The ring on the time axis on which a glide is none: y(u) = x(t), u = t + d(t). By a sinc under Kaiser's window (Kaiser 1974),
 * 64 taps, linear between 1024 tabulated phases: exact to 80 dB up to seven eighths of half the sample rate. The ring ends where its
 * own end comes to lie.
 */
export function unwarped(ring: RingDown, glide: Glide): RingDown {
  const { sampleRateHz: fs, onsetSample, endSample } = ring;
  const kernel = kernelTable();
  const width = 2 * HALF_TAPS;
  const channels = ring.channels.map((x) => x.slice());
  for (let n = onsetSample; n < endSample; n++) {
    const at = onsetSample + glideTimeS(glide, (n - onsetSample) / fs) * fs;
    const whole = Math.floor(at);
    const place = (at - whole) * PHASES;
    const row = Math.floor(place);
    const part = place - row;
    const a = row * width;
    const first = whole - HALF_TAPS + 1;
    for (let c = 0; c < channels.length; c++) {
      const x = ring.channels[c];
      let sum = 0;
      const from = Math.max(0, -first);
      const to = Math.min(width, x.length - first);
      for (let k = from; k < to; k++) {
        const h = kernel[a + k];
        sum += (h + part * (kernel[a + width + k] - h)) * x[first + k];
      }
      channels[c][n] = sum;
    }
  }
  const lastS = (endSample - onsetSample) / fs;
  const end = onsetSample + Math.floor((lastS + glideDelayS(glide, lastS)) * fs) - HALF_TAPS;
  return { ...ring, channels, endSample: Math.min(endSample, end) };
}

/** Rows of 64 taps for phases 0 .. 1. */
function kernelTable(): Float64Array {
  if (table) return table;
  const width = 2 * HALF_TAPS;
  table = new Float64Array((PHASES + 1) * width);
  for (let p = 0; p <= PHASES; p++) {
    for (let k = 0; k < width; k++) {
      const distance = k - HALF_TAPS + 1 - p / PHASES;
      const sinc = distance === 0 ? 1 : Math.sin(Math.PI * distance) / (Math.PI * distance);
      const inside = Math.max(0, 1 - (distance / HALF_TAPS) ** 2);
      table[p * width + k] = (sinc * besselI0(BETA * Math.sqrt(inside))) / besselI0(BETA);
    }
  }
  return table;
}

function besselI0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; term > 1e-17 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}
