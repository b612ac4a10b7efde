/** Sums over n = 0 .. count-1 of n^k w^n for k = 0, 1, 2, as (re, im) pairs. */
export type PowerSums = Float64Array;

/**
 * Power-weighted geometric sums of w = exp(-(decay + i turn)) per sample, by doubling the number of terms
 * (sum of 2K = sum of K + w^K times the sum of K, shifted). Unlike the quotient (1 - w^N)/(1 - w)
 * and its derivatives it does not cancel where decay * count is small; 20 steps for a million terms.
 */
export function geometricSums(decay: number, turn: number, count: number, out: PowerSums): PowerSums {
  let g0 = 0;
  let h0 = 0;
  let g1 = 0;
  let h1 = 0;
  let g2 = 0;
  let h2 = 0;
  let terms = 0;
  for (let bit = 31 - Math.clz32(count); bit >= 0; bit--) {
    if (terms > 0) {
      const level = Math.exp(-decay * terms);
      const re = level * Math.cos(turn * terms);
      const im = -level * Math.sin(turn * terms);
      // n -> n + terms in the second half.
      const s1 = g1 + terms * g0;
      const t1 = h1 + terms * h0;
      const s2 = g2 + 2 * terms * g1 + terms * terms * g0;
      const t2 = h2 + 2 * terms * h1 + terms * terms * h0;
      g2 += re * s2 - im * t2;
      h2 += re * t2 + im * s2;
      g1 += re * s1 - im * t1;
      h1 += re * t1 + im * s1;
      const kept = g0;
      g0 += re * g0 - im * h0;
      h0 += re * h0 + im * kept;
      terms *= 2;
    }
    if ((count >>> bit) & 1) {
      const level = Math.exp(-decay * terms);
      const re = level * Math.cos(turn * terms);
      const im = -level * Math.sin(turn * terms);
      g0 += re;
      h0 += im;
      g1 += terms * re;
      h1 += terms * im;
      g2 += terms * terms * re;
      h2 += terms * terms * im;
      terms += 1;
    }
  }
  out[0] = g0;
  out[1] = h0;
  out[2] = g1;
  out[3] = h1;
  out[4] = g2;
  out[5] = h2;
  return out;
}
