import { describe, expect, it } from "vitest";
import type { Band, Poles } from "../../src/partials/band.ts";
import { type LineCovariance, lineCovariance } from "../../src/partials/covariance.ts";
import { boundsAround, FitScratch, fitBand } from "../../src/partials/fit-band.ts";
import { Projection } from "../../src/partials/projection.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { amplitudeOfRho, type BandLine, type BandPlan, bandOfPlan, PLAN, polesOfLines } from "./bands.ts";

function covarianceOf(band: Band, poles: Poles): { p: Projection; covariance: LineCovariance } {
  const p = new Projection();
  p.evaluate(band, poles);
  return { p, covariance: lineCovariance(p, band, poles) };
}

/** A lone line over 10 linewidths to either side, its whole decay in the transform. */
const ALPHA = 5;
const RHO = 2000;
const alone: BandPlan = {
  ...PLAN,
  from: 1968,
  to: 2032,
  lines: [{ frequencyHz: 1000.1, alpha: ALPHA, c: [[amplitudeOfRho(RHO, ALPHA, PLAN), 0]] }],
};

/** Amplitudes of a pair by line and channel: the second line a third of the first in one channel, the louder in the other. */
const MIXED: [number, number][][] = [
  [
    [0.03, 0.01],
    [0.004, -0.02],
  ],
  [
    [-0.008, 0.007],
    [0.03, 0.01],
  ],
];
/** Both louder in the first channel, the one by its imaginary part. */
const FIRST_LOUDER: [number, number][][] = [
  [
    [0.01, 0.03],
    [-0.02, 0.004],
  ],
  [
    [0.02, 0.005],
    [0.004, -0.012],
  ],
];

/** Two lines 0.8 Hz apart, half a linewidth of 5 /s, in channels of different mixture and noise. */
const pairOf = (channels: number, alpha = 5, c = MIXED): BandPlan => {
  const lines: BandLine[] = [
    { frequencyHz: 1000.1, alpha, c: c[0].slice(0, channels) },
    { frequencyHz: 1000.9, alpha: 1.1 * alpha, c: c[1].slice(0, channels) },
  ];
  return { ...PLAN, from: 1960, to: 2042, lines, channels, noise: [1e-6, 3e-6].slice(0, channels) };
};

describe("lineCovariance", () => {
  it("lineCovariance(no poles) is empty", () => {
    const { covariance } = covarianceOf(bandOfPlan(alone), polesOfLines([]));
    expect(covariance.sdPole.length).toBe(0);
  });

  it("lineCovariance(poles that coincide) is infinite, not wrong", () => {
    const twice = polesOfLines([alone.lines[0], alone.lines[0]]);
    const { covariance } = covarianceOf(bandOfPlan(alone), twice);
    expect([...covariance.sdPole]).toEqual([Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]);
  });

  it("lineCovariance(a lone line) is the closed form of one damped sinusoid", () => {
    const { covariance } = covarianceOf(bandOfPlan(alone), polesOfLines(alone.lines));
    // The whole line: sd(omega) = sd(alpha) = alpha sqrt(2/rho), sd(ln A) = 1/sqrt(rho), cov(ln A, alpha) = alpha/rho, the
    // inverse of the Fisher matrix of exp(-alpha t) with its integrals 1/2a, -1/4a^2, 1/4a^3. The band ends after X half
    // linewidths and spends a constant on the skirts: with x in half linewidths the columns are 1/(1 + jx), its derivative
    // 1/(1 + jx)^2 and 1, whose products have closed forms.
    const x = (32.5 * PLAN.sampleRateHz * 2 * Math.PI) / PLAN.size / ALPHA;
    const [arc, part] = [2 * Math.atan(x), Math.atan(x) + x / (1 + x * x)];
    const slope = (2 * x) / (1 + x * x);
    const inverse = invert([
      [arc, part, arc],
      [part, part, slope],
      [arc, slope, 2 * x],
    ]);
    // Without ends and constant the inverse is 2/pi, 4/pi and -2/pi. Bins sample the integrals: exp(-alpha T) and the line's 0.1 Hz
    // beside the middle stay under 1 %.
    const [level, pole, cross] = [inverse[0][0], inverse[1][1], -inverse[0][1]].map((v) => (v * Math.PI) / 2);
    const within = (ratio: number) => expect(Math.abs(ratio - 1)).toBeLessThan(0.01);
    within(covariance.sdPole[0] / (ALPHA * Math.sqrt((pole / 2) * (2 / RHO))));
    within(covariance.sdLogAmplitude[0] / Math.sqrt(level / RHO));
    within(covariance.covLogAmplitudeAlpha[0] / ((cross * ALPHA) / RHO));
    expect(pole / 2).toBeLessThan(1.15);
  });

  it.each<[string, BandPlan]>([
    ["a close pair, one channel", pairOf(1)],
    ["a close pair, two channels", pairOf(2)],
    ["a close pair, the first channel the louder", pairOf(2, 5, FIRST_LOUDER)],
    // In 2 s an amplitude of 0.2 /s falls by a third: how 1 - z^N moves with the pole counts.
    ["a pair that rings beyond the transform", pairOf(1, 0.2)],
    ["a pair that rings beyond the transform, two channels", pairOf(2, 0.2, FIRST_LOUDER)],
  ])("lineCovariance(%s) is the inverse of the Fisher matrix of all parameters", (_, plan) => {
    const { covariance } = covarianceOf(bandOfPlan(plan), polesOfLines(plan.lines));
    const inverse = inverseFisher(plan);
    plan.lines.forEach((line, j) => {
      const powers = line.c.map(([re, im]) => re ** 2 + im ** 2);
      const loudest = powers.indexOf(Math.max(...powers));
      const [cRe, cIm] = line.c[loudest];
      const power = powers[loudest];
      const at = (a: number, b: number) => inverse[a][b];
      const [alpha, omega] = [2 * j, 2 * j + 1];
      const re = 4 + 2 * (3 * loudest + j);
      // d ln|c| = (cRe dRe + cIm dIm)/|c|^2; differences of step h leave errors of h^2 T^2.
      const level =
        (cRe ** 2 * at(re, re) + 2 * cRe * cIm * at(re, re + 1) + cIm ** 2 * at(re + 1, re + 1)) / power ** 2;
      const cross = (cRe * at(re, alpha) + cIm * at(re + 1, alpha)) / power;
      expect(covariance.sdPole[j] / Math.sqrt(at(alpha, alpha))).toBeCloseTo(1, 4);
      expect(covariance.sdPole[j] / Math.sqrt(at(omega, omega))).toBeCloseTo(1, 4);
      expect(covariance.sdLogAmplitude[j] / Math.sqrt(level)).toBeCloseTo(1, 4);
      expect(covariance.covLogAmplitudeAlpha[j] / cross).toBeCloseTo(1, 4);
    });
  });

  it("lineCovariance holds over 200 noises: errors over their standard deviation have variance one", () => {
    const plan = pairOf(1);
    const truth = polesOfLines(plan.lines);
    const random = makeRandom(21);
    const sums = { omega: 0, alpha: 0, level: 0 };
    let worst = 0;
    for (let trial = 0; trial < 200; trial++) {
      const scratch = new FitScratch();
      const band = bandOfPlan({ ...plan, random });
      const fit = fitBand(band, truth, boundsAround(truth.alpha), scratch);
      const covariance = lineCovariance(scratch.current, band, fit.poles);
      plan.lines.forEach((line, j) => {
        const zOmega = (fit.poles.omega[j] - truth.omega[j]) / covariance.sdPole[j];
        const zAlpha = (fit.poles.alpha[j] - truth.alpha[j]) / covariance.sdPole[j];
        const [cRe, cIm] = coefficient(line, 0);
        const found = Math.hypot(scratch.current.cRe[j], scratch.current.cIm[j]);
        const zLevel = Math.log(found / Math.hypot(cRe, cIm)) / covariance.sdLogAmplitude[j];
        sums.omega += zOmega ** 2;
        sums.alpha += zAlpha ** 2;
        sums.level += zLevel ** 2;
        worst = Math.max(worst, Math.abs(zOmega), Math.abs(zAlpha));
      });
    }
    // Chi squared of 400 degrees of freedom, three standard deviations sqrt(2/400); the two members of a pair are
    // correlated, which makes 200 of them in the worst case: sqrt(2/200).
    for (const sum of Object.values(sums))
      expect(Math.abs(sum / 400 - 1)).toBeLessThan(3 * Math.sqrt(2 / 200));
    // 800 normal deviates exceed 4.5 once in 180 runs.
    expect(worst).toBeLessThan(4.5);
  });
});

/** The linear coefficient of the fit: c (1 - z^N). */
function coefficient(line: BandLine, channel: number): [number, number] {
  const tail = Math.exp((-line.alpha * PLAN.size) / PLAN.sampleRateHz);
  const turn = (2 * Math.PI * line.frequencyHz * PLAN.size) / PLAN.sampleRateHz;
  const [uRe, uIm] = [1 - tail * Math.cos(turn), -tail * Math.sin(turn)];
  const [re, im] = line.c[channel];
  return [re * uRe - im * uIm, re * uIm + im * uRe];
}

/**
 * Inverse of the real Fisher matrix of a pair, by central differences of the whitened bins: parameters alpha and omega of
 * both lines, then for each channel real and imaginary part of both amplitudes and of the constant.
 */
function inverseFisher(plan: BandPlan): number[][] {
  const count = 4 + 6 * plan.channels;
  const band = bandOfPlan(plan);
  const parameters = new Array<number>(count).fill(0);
  plan.lines.forEach((line, j) => {
    parameters[2 * j] = line.alpha;
    parameters[2 * j + 1] = 2 * Math.PI * line.frequencyHz;
    for (let c = 0; c < plan.channels; c++) {
      const [re, im] = line.c[c];
      parameters[4 + 2 * (3 * c + j)] = re;
      parameters[5 + 2 * (3 * c + j)] = im;
    }
  });
  const columns = parameters.map((value, i) => {
    const h = i < 4 ? 1e-3 : 1e-4;
    const at = (v: number) => modelOf(band, parameters.with(i, v), plan.channels);
    const [up, down] = [at(value + h), at(value - h)];
    return up.map((x, k) => (x - down[k]) / (2 * h));
  });
  // A complex bin of unit variance has 1/2 in either part: the Fisher matrix is 2 J^T J.
  const fisher = columns.map((a) => columns.map((b) => 2 * a.reduce((sum, x, k) => sum + x * b[k], 0)));
  return invert(fisher);
}

/** Real and imaginary parts of all whitened bins of the model. */
function modelOf(band: Band, parameters: number[], channels: number): number[] {
  const fs = band.sampleRateHz;
  const out: number[] = [];
  for (let c = 0; c < channels; c++) {
    const [kRe, kIm] = parameters.slice(4 + 2 * (3 * c + 2));
    for (let i = 0; i < band.count; i++) {
      let [re, im] = [kRe, kIm];
      for (let j = 0; j < 2; j++) {
        const radius = Math.exp(-parameters[2 * j] / fs);
        const angle = (parameters[2 * j + 1] - band.omega[i]) / fs;
        const [a, b] = [1 - radius * Math.cos(angle), -radius * Math.sin(angle)];
        const [cRe, cIm] = coefficient(
          {
            alpha: parameters[2 * j],
            frequencyHz: parameters[2 * j + 1] / (2 * Math.PI),
            c: [[parameters[4 + 2 * (3 * c + j)], parameters[5 + 2 * (3 * c + j)]]],
          },
          0,
        );
        re += (cRe * a + cIm * b) / (a * a + b * b);
        im += (cIm * a - cRe * b) / (a * a + b * b);
      }
      out.push(re * band.channels[c].weight[i], im * band.channels[c].weight[i]);
    }
  }
  return out;
}

/** Gauss-Jordan elimination of a positive definite matrix, scaled to unit diagonal. */
function invert(matrix: number[][]): number[][] {
  const n = matrix.length;
  const scale = matrix.map((row, i) => 1 / Math.sqrt(row[i]));
  const rows = matrix.map((row, i) => [
    ...row.map((v, j) => v * scale[i] * scale[j]),
    ...row.map((_, j) => (i === j ? 1 : 0)),
  ]);
  for (let i = 0; i < n; i++) {
    const pivot = rows[i][i];
    rows[i] = rows[i].map((v) => v / pivot);
    for (let r = 0; r < n; r++) {
      const factor = rows[r][i];
      if (r !== i) rows[r] = rows[r].map((v, k) => v - factor * rows[i][k]);
    }
  }
  return rows.map((row, i) => row.slice(n).map((v, j) => v * scale[i] * scale[j]));
}
