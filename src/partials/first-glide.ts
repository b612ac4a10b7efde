import type { Baseband } from "./baseband.ts";
import type { Glide } from "./glide.ts";

/** Time constants that are tried, s. */
const TIME_CONSTANTS_S = [0.04, 0.07, 0.12, 0.2, 0.35, 0.6, 1, 1.7];
const ROUNDS = 6;

/**
 * Glides that the instantaneous frequencies of the basebands follow, best first: for each time constant the amount by least
 * squares over all bands, each with a frequency of its own; a band counts by what it leaves over, so that one that beats
 * says little.
 */
export function firstGlides(basebands: Values[]): Glide[] {
  const tracks = basebands.map(trackOf);
  const tried = TIME_CONSTANTS_S.map((timeConstantS) => glideOver(tracks, timeConstantS));
  return tried.sort((a, b) => a.left - b.left).map((t) => t.glide);
}

type Values = Pick<Baseband, "omega" | "timeS" | "re" | "im">;

interface Track {
  /** Frequency off the carrier, relative to it. */
  offset: Float64Array;
  weight: Float64Array;
  timeS: Float64Array;
}

function trackOf({ omega, timeS, re, im }: Values): Track {
  const n = timeS.length - 1;
  const offset = new Float64Array(n);
  const weight = new Float64Array(n);
  let total = 0;
  for (let i = 0; i < n; i++) {
    let a = 0;
    let b = 0;
    for (let c = 0; c < re.length; c++) {
      a += re[c][i + 1] * re[c][i] + im[c][i + 1] * im[c][i];
      b += im[c][i + 1] * re[c][i] - re[c][i + 1] * im[c][i];
    }
    offset[i] = Math.atan2(b, a) / (omega * (timeS[i + 1] - timeS[i]));
    // Amplitude, not power: else the first moments alone would say what the glide is.
    weight[i] = Math.sqrt(Math.hypot(a, b));
    total += weight[i];
  }
  for (let i = 0; i < n; i++) weight[i] /= total;
  return { offset, weight, timeS: timeS.subarray(0, n).map((t, i) => (t + timeS[i + 1]) / 2) };
}

function glideOver(tracks: Track[], timeConstantS: number): { glide: Glide; left: number } {
  const laws = tracks.map((track) => {
    const law = track.timeS.map((t) => Math.exp(-t / timeConstantS));
    const mean = (of: Float64Array) => of.reduce((s, v, i) => s + track.weight[i] * v, 0);
    const centre = mean(law);
    const middle = mean(track.offset);
    let xx = 0;
    let xy = 0;
    let yy = 0;
    for (let i = 0; i < law.length; i++) {
      const x = law[i] - centre;
      const y = track.offset[i] - middle;
      xx += track.weight[i] * x * x;
      xy += track.weight[i] * x * y;
      yy += track.weight[i] * y * y;
    }
    return { xx, xy, yy };
  });
  let amount = 0;
  let left = 0;
  // Each band's own best amount is where the first round weighs from.
  const variances = laws.map(({ xx, xy, yy }) => Math.max(yy - (xy * xy) / Math.max(xx, 1e-30), 1e-16));
  for (let round = 0; round < ROUNDS; round++) {
    let above = 0;
    let below = 0;
    laws.forEach(({ xx, xy }, k) => {
      above += xy / variances[k];
      below += xx / variances[k];
    });
    amount = below > 0 ? above / below : 0;
    left = 0;
    laws.forEach(({ xx, xy, yy }, k) => {
      variances[k] = Math.max(yy - 2 * amount * xy + amount * amount * xx, 1e-16);
      left += Math.log(variances[k]);
    });
  }
  return { glide: { amount, timeConstantS }, left };
}
