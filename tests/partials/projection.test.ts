import { describe, expect, it } from "vitest";
import type { Band, Poles } from "../../src/partials/band.ts";
import { Projection } from "../../src/partials/projection.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { amplitudeOfRho, bandOfPlan, PLAN, polesOfLines } from "./bands.ts";

const LINES = [
  { frequencyHz: 999.2, alpha: 4, c: [[0.02, -0.01] as [number, number], [0.005, 0.03] as [number, number]] },
  {
    frequencyHz: 1001.1,
    alpha: 6,
    c: [[-0.01, 0.015] as [number, number], [0.02, 0.001] as [number, number]],
  },
];
const noisy = (seed: number, channels = 1): Band =>
  bandOfPlan({
    ...PLAN,
    lines: LINES,
    channels,
    noise: [1e-6, 4e-6].slice(0, channels),
    random: makeRandom(seed),
  });

/** Away from the optimum, where no derivative vanishes. */
const OFF: Poles = polesOfLines([
  { frequencyHz: 999.5, alpha: 5 },
  { frequencyHz: 1001.4, alpha: 4.5 },
]);

function evaluated(band: Band, poles: Poles): Projection {
  const p = new Projection();
  p.evaluate(band, poles);
  return p;
}

const moved = (poles: Poles, j: number, byAlpha: number, byOmega: number): Poles => ({
  alpha: poles.alpha.map((a, i) => (i === j ? a + byAlpha : a)),
  omega: poles.omega.map((w, i) => (i === j ? w + byOmega : w)),
});

/** Whitened column of a pole, c = 1. */
function columnOf(band: Band, alpha: number, omega: number): { re: Float64Array; im: Float64Array } {
  const radius = Math.exp(-alpha / band.sampleRateHz);
  const re = new Float64Array(band.count);
  const im = new Float64Array(band.count);
  for (let i = 0; i < band.count; i++) {
    const angle = (omega - band.omega[i]) / band.sampleRateHz;
    const a = 1 - radius * Math.cos(angle);
    const b = -radius * Math.sin(angle);
    re[i] = (band.channels[0].weight[i] * a) / (a * a + b * b);
    im[i] = (-band.channels[0].weight[i] * b) / (a * a + b * b);
  }
  return { re, im };
}

describe("Projection.evaluate", () => {
  it("Projection.evaluate(a NaN among the bins) has a residual of NaN and does not throw", () => {
    const band = noisy(1);
    band.channels[0].re[10] = Number.NaN;
    expect(evaluated(band, OFF).rss).toBeNaN();
  });

  it("Projection.evaluate(no poles) leaves what a constant does not explain", () => {
    const band = noisy(1);
    const { re, im } = band.channels[0];
    const mean = (x: Float64Array) => x.reduce((a, b) => a + b, 0) / x.length;
    const [a, b] = [mean(re), mean(im)];
    let rss = 0;
    for (let i = 0; i < band.count; i++) rss += (re[i] - a) ** 2 + (im[i] - b) ** 2;
    const p = evaluated(band, polesOfLines([]));
    expect(p.columns).toBe(1);
    expect(p.rss / (rss * band.channels[0].weight[0] ** 2)).toBeCloseTo(1, 12);
  });

  it("Projection.evaluate(exact bins, their own poles) leaves nothing but rounding and returns the amplitudes", () => {
    const band = bandOfPlan({ ...PLAN, lines: LINES });
    const p = evaluated(band, polesOfLines(LINES));
    const whole = evaluated(band, polesOfLines([])).rss;
    // 1 - z exp(-j w) cancels down to alpha/fs at a line's top: a few roundoffs over that, squared.
    const relative = (4 * 2 ** -53 * PLAN.sampleRateHz) / LINES[0].alpha;
    expect(p.rss / whole).toBeLessThan(relative ** 2);
    LINES.forEach((line, j) => {
      // The coefficient holds 1 - z^N.
      const tail = Math.exp((-line.alpha * PLAN.size) / PLAN.sampleRateHz);
      const turn = (2 * Math.PI * line.frequencyHz * PLAN.size) / PLAN.sampleRateHz;
      const [uRe, uIm] = [1 - tail * Math.cos(turn), -tail * Math.sin(turn)];
      const [cRe, cIm] = line.c[0];
      expect(p.cRe[j]).toBeCloseTo(cRe * uRe - cIm * uIm, 10);
      expect(p.cIm[j]).toBeCloseTo(cRe * uIm + cIm * uRe, 10);
    });
  });

  it("Projection.evaluate(poles) leaves a residual orthogonal to every column", () => {
    const band = noisy(2);
    const p = evaluated(band, OFF);
    const columns = [0, 1].map((j) => columnOf(band, OFF.alpha[j], OFF.omega[j]));
    columns.push({ re: band.channels[0].weight, im: new Float64Array(band.count) });
    for (const { re, im } of columns) {
      let [dotRe, dotIm, norm] = [0, 0, 0];
      for (let i = 0; i < band.count; i++) {
        dotRe += re[i] * p.residualRe[0][i] + im[i] * p.residualIm[0][i];
        dotIm += re[i] * p.residualIm[0][i] - im[i] * p.residualRe[0][i];
        norm += re[i] ** 2 + im[i] ** 2;
      }
      // Modified Gram-Schmidt: roundoff times the condition of the columns, here below 1e3, times the rows.
      expect(Math.hypot(dotRe, dotIm) / Math.sqrt(norm * p.rss)).toBeLessThan(1e3 * band.count * 2 ** -53);
    }
  });

  it("Projection.evaluate gives the gradient of the residual, by central differences", () => {
    for (const channels of [1, 2]) {
      const band = noisy(3, channels);
      const p = evaluated(band, OFF);
      const { gRe, gIm } = p;
      const rss = (poles: Poles) => evaluated(band, poles).rss;
      // Error h^2 f'''/6 beside f' is (h/alpha)^2, of rounding rss 1e-16/h: both below 1e-6 at h = 1e-3 alpha.
      const h = 4e-3;
      for (let j = 0; j < 2; j++) {
        const byAlpha = (rss(moved(OFF, j, h, 0)) - rss(moved(OFF, j, -h, 0))) / (2 * h);
        const byOmega = (rss(moved(OFF, j, 0, h)) - rss(moved(OFF, j, 0, -h))) / (2 * h);
        // s = -alpha + j omega: a step ds of the pole moves the residual's energy by -2 Re(conj(ds) g).
        const scale = 2 * Math.hypot(gRe[j], gIm[j]);
        expect(Math.abs(byAlpha - 2 * gRe[j]) / scale).toBeLessThan(1e-5);
        expect(Math.abs(byOmega + 2 * gIm[j]) / scale).toBeLessThan(1e-5);
      }
    }
  });

  it("Projection.evaluate gives D^H P D of the differenced columns, P the projection off the columns", () => {
    const band = noisy(4);
    const p = evaluated(band, OFF);
    const h = 4e-3;
    const derivatives = [0, 1].map((j) => {
      const up = columnOf(band, OFF.alpha[j], OFF.omega[j] + h);
      const down = columnOf(band, OFF.alpha[j], OFF.omega[j] - h);
      const re = new Float64Array(band.count);
      const im = new Float64Array(band.count);
      for (let i = 0; i < band.count; i++) {
        // d/ds = -j d/domega, times the coefficient.
        const [x, y] = [(up.im[i] - down.im[i]) / (2 * h), -(up.re[i] - down.re[i]) / (2 * h)];
        re[i] = x * p.cRe[j] - y * p.cIm[j];
        im[i] = x * p.cIm[j] + y * p.cRe[j];
      }
      return offColumns(p, band.count, re, im);
    });
    for (const l of [0, 1]) {
      for (const j of [0, 1]) {
        const [a, b] = [derivatives[l], derivatives[j]];
        let [re, im] = [0, 0];
        for (let i = 0; i < band.count; i++) {
          re += a.re[i] * b.re[i] + a.im[i] * b.im[i];
          im += a.re[i] * b.im[i] - a.im[i] * b.re[i];
        }
        const scale = Math.sqrt(p.hRe[0] * p.hRe[3]);
        expect(Math.abs(p.hRe[l * 2 + j] - re) / scale).toBeLessThan(1e-5);
        expect(Math.abs(p.hIm[l * 2 + j] - im) / scale).toBeLessThan(1e-5);
      }
    }
  });

  it("Projection.evaluate(two channels) has the sums of residual, gradient and normal matrix over the channels", () => {
    const both = noisy(5, 2);
    const parts = both.channels.map((channel) => evaluated({ ...both, channels: [channel] }, OFF));
    const p = evaluated(both, OFF);
    expect(p.rss / (parts[0].rss + parts[1].rss)).toBeCloseTo(1, 12);
    for (let j = 0; j < 2; j++) {
      expect(p.gRe[j] / (parts[0].gRe[j] + parts[1].gRe[j])).toBeCloseTo(1, 9);
      expect(p.gIm[j] / (parts[0].gIm[j] + parts[1].gIm[j])).toBeCloseTo(1, 9);
    }
    for (let i = 0; i < 4; i++) expect(p.hRe[i] / (parts[0].hRe[i] + parts[1].hRe[i])).toBeCloseTo(1, 9);
  });

  it("Projection.evaluate(poles that coincide) has a rank margin of nothing and stays finite", () => {
    const band = noisy(6);
    const p = evaluated(
      band,
      polesOfLines([
        { frequencyHz: 1000, alpha: 5 },
        { frequencyHz: 1000, alpha: 5 },
      ]),
    );
    expect(p.rankMargin).toBeLessThan(1e-9);
    for (const x of [p.rss, ...p.cRe, ...p.cIm, ...p.hRe, ...p.gRe]) expect(Number.isFinite(x)).toBe(true);
    const alone = evaluated(band, polesOfLines([{ frequencyHz: 1000, alpha: 5 }]));
    expect(p.rss / alone.rss).toBeCloseTo(1, 9);
  });

  it("Projection.evaluate(poles that come close) has a rank margin in proportion to their distance", () => {
    const band = noisy(7);
    const margin = (distanceHz: number) =>
      evaluated(
        band,
        polesOfLines([
          { frequencyHz: 1000, alpha: 5 },
          { frequencyHz: 1000 + distanceHz, alpha: 5 },
        ]),
      ).rankMargin;
    // To first order in distance over linewidth (1.6 Hz).
    expect(margin(0.02) / margin(0.002)).toBeCloseTo(10, 1);
    expect(margin(20)).toBeGreaterThan(0.5);
  });

  it("Projection.evaluate can be used again for a smaller band with fewer poles", () => {
    const p = new Projection();
    p.evaluate(noisy(8, 2), OFF);
    const small = bandOfPlan({ ...PLAN, from: 1990, to: 2010, lines: LINES, random: makeRandom(9) });
    const one = polesOfLines([{ frequencyHz: 1000, alpha: 5 }]);
    p.evaluate(small, one);
    const fresh = evaluated(small, one);
    expect([p.rss, p.hRe[0], p.gRe[0], p.cRe[0]]).toEqual([
      fresh.rss,
      fresh.hRe[0],
      fresh.gRe[0],
      fresh.cRe[0],
    ]);
  });

  it("Projection.evaluate explains the energy of a lone line: rho of it over all bins", () => {
    // Parseval: sum |X|^2 / (N S) is |c|^2 fs / (2 alpha S), which is rho.
    const alpha = 5;
    const c = amplitudeOfRho(5000, alpha, PLAN);
    const wide = {
      ...PLAN,
      from: 1,
      to: 7999,
      lines: [{ frequencyHz: 1000.2, alpha, c: [[c, 0] as [number, number]] }],
    };
    const { channels, count } = bandOfPlan(wide);
    let energy = 0;
    for (let i = 0; i < count; i++) {
      energy += (channels[0].re[i] ** 2 + channels[0].im[i] ** 2) * channels[0].weight[i] ** 2;
    }
    // A decay this slow against the sample rate: the geometric sum is the integral to alpha/fs; the skirt at negative frequency is lost.
    expect(energy / 5000).toBeGreaterThan(0.999);
    expect(energy / 5000).toBeLessThan(1.001);
  });
});

/** The part of a vector that is orthogonal to the columns of the fit. */
function offColumns(p: Projection, n: number, re: Float64Array, im: Float64Array) {
  for (let l = 0; l < p.columns; l++) {
    const q = { re: p.qRe[0].subarray(l * n, (l + 1) * n), im: p.qIm[0].subarray(l * n, (l + 1) * n) };
    let [a, b] = [0, 0];
    for (let i = 0; i < n; i++) {
      a += q.re[i] * re[i] + q.im[i] * im[i];
      b += q.re[i] * im[i] - q.im[i] * re[i];
    }
    for (let i = 0; i < n; i++) {
      re[i] -= a * q.re[i] - b * q.im[i];
      im[i] -= a * q.im[i] + b * q.re[i];
    }
  }
  return { re, im };
}
