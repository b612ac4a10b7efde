import { geometricSums } from "./geometric-sums.ts";
import type { TrueMode } from "./modes.ts";
import type { SymmetricMatrix } from "./symmetric.ts";

export interface Complex {
  re: number;
  im: number;
}

/**
 * Parameters of a mode: alpha and omega, both in units of alpha, then (ln A, phase) of every channel. The derivative
 * of the signal by each is Re(q n^k c z^n), n from the start: q = -alpha/fs, k = 1; i alpha/fs, k = 1; 1; i.
 */
export function fisherMatrix(
  modes: TrueMode[],
  weighed: Complex[][],
  sampleRateHz: number,
  count: number,
  channels: number,
): SymmetricMatrix {
  const width = 2 + 2 * channels;
  const size = modes.length * width;
  const values = new Float64Array(size * size);
  const same = new Float64Array(6);
  const opposite = new Float64Array(6);
  for (let i = 0; i < modes.length; i++) {
    for (let j = 0; j <= i; j++) {
      const omegaI = (2 * Math.PI * modes[i].frequencyHz) / sampleRateHz;
      const omegaJ = (2 * Math.PI * modes[j].frequencyHz) / sampleRateHz;
      const decay = (modes[i].decayRatePerS + modes[j].decayRatePerS) / sampleRateHz;
      // w = z_i z_j has turn -(omega_i + omega_j); w = z_i conj(z_j) has -(omega_i - omega_j).
      geometricSums(decay, -(omegaI + omegaJ), count, same);
      geometricSums(decay, -(omegaI - omegaJ), count, opposite);
      const stepI = modes[i].decayRatePerS / sampleRateHz;
      const stepJ = modes[j].decayRatePerS / sampleRateHz;
      for (let c = 0; c < channels; c++) {
        const a = weighed[i][c];
        const b = weighed[j][c];
        // Re(u) Re(v) = Re(u v + u conj v)/2, for u = p n^k a z_i^n, v = q n^l b z_j^n.
        const product = { re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re };
        const mixed = { re: a.re * b.re + a.im * b.im, im: a.im * b.re - a.re * b.im };
        const entry = (rowTurns: boolean, columnTurns: boolean, power: number, scale: number): number => {
          const k = 2 * power;
          const sRe = product.re * same[k] - product.im * same[k + 1];
          const sIm = product.re * same[k + 1] + product.im * same[k];
          const oRe = mixed.re * opposite[k] - mixed.im * opposite[k + 1];
          const oIm = mixed.re * opposite[k + 1] + mixed.im * opposite[k];
          // p q and p conj(q), each p, q being 1 or i.
          if (rowTurns && columnTurns) return (scale * (oRe - sRe)) / 2;
          if (rowTurns) return (scale * (-sIm - oIm)) / 2;
          if (columnTurns) return (scale * (-sIm + oIm)) / 2;
          return (scale * (sRe + oRe)) / 2;
        };
        const own = 2 + 2 * c;
        const add = (row: number, column: number, value: number) => {
          values[(i * width + row) * size + j * width + column] += value;
        };
        for (const r of [0, 1]) {
          const rowPole = r === 0 ? -stepI : stepI;
          for (const s of [0, 1]) {
            const columnPole = s === 0 ? -stepJ : stepJ;
            add(r, s, entry(r === 1, s === 1, 2, rowPole * columnPole));
            add(r, own + s, entry(r === 1, s === 1, 1, rowPole));
            add(own + r, s, entry(r === 1, s === 1, 1, columnPole));
            add(own + r, own + s, entry(r === 1, s === 1, 0, 1));
          }
        }
      }
    }
  }
  return { size, values };
}
