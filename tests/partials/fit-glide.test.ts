import { describe, expect, it } from "vitest";
import { type Baseband, basebandOf } from "../../src/partials/baseband.ts";
import { FitScratch } from "../../src/partials/fit-band.ts";
import { fitGlide, type GlideFit, type GlideSetting } from "../../src/partials/fit-glide.ts";
import { type Glide, glideDelayS } from "../../src/partials/glide.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { dot, linearised, offAll } from "./dense-glide.ts";
import { knownNoise, ringDownOf } from "./rings.ts";

const GLIDE: Glide = { amount: 0.003, timeConstantS: 0.3 };
const NONE: Glide = { amount: 0, timeConstantS: 1 };
const AS_HEARD: GlideSetting = { taken: NONE, decaysIn: "t", rates: null, departure: () => 0 };

/** A line of a band: how far off the carrier, how fast it decays, amplitude and phase. */
interface Part {
  offsetHz: number;
  alpha: number;
  amplitude: number;
  phase?: number;
}

interface Plan {
  glide: Glide;
  /** The time on which lines decay, and on which all phases run; t is the listener's. */
  decayTime: (t: number) => number;
  phaseTime: (t: number) => number;
  seed: number | null;
  channels?: number;
}

const HEARD: Plan = {
  glide: GLIDE,
  decayTime: (t) => t,
  phaseTime: (t) => t + glideDelayS(GLIDE, t),
  seed: null,
};

/** The values of a band in closed form: what the window does to an amplitude is left out; with a seed, white noise. */
function bandAt(
  frequencyHz: number,
  parts: Part[],
  { decayTime, phaseTime, seed, channels = 1 }: Plan,
): Baseband {
  const noise = Array.from({ length: channels }, knownNoise);
  const ring = ringDownOf([], 1, 2);
  const base = basebandOf(
    { ...ring, channels: noise.map(() => new Float32Array(ring.endSample)) },
    frequencyHz,
    noise,
  )!;
  const omega = 2 * Math.PI * frequencyHz;
  const random = makeRandom(seed ?? 0);
  for (let c = 0; c < channels; c++) {
    base.timeS.forEach((t, i) => {
      for (const { offsetHz, alpha, amplitude, phase = 0 } of parts) {
        const turn = omega * (phaseTime(t) - t) + 2 * Math.PI * offsetHz * t + phase + c;
        const level = (amplitude / (c + 1)) * Math.exp(-alpha * decayTime(t));
        base.re[c][i] += level * Math.cos(turn);
        base.im[c][i] += level * Math.sin(turn);
      }
    });
    if (seed !== null) {
      // As if each value had the noise of the middle bin, white from value to value.
      base.variance[c].fill(base.variance[c][base.band.count >> 1]);
      const sd = Math.sqrt(base.variance[c][0] / base.timeS.length / 2);
      random.addNormal(base.re[c], sd);
      random.addNormal(base.im[c], sd);
    }
  }
  return base;
}

const ONE = (offsetHz: number, alpha: number): Part[] => [{ offsetHz, alpha, amplitude: 0.1, phase: alpha }];
const bandsOf = (plan: Plan): Baseband[] => [
  bandAt(400, ONE(0.4, 1), plan),
  bandAt(950, ONE(-0.3, 3), plan),
  bandAt(1600, ONE(1, 2), plan),
];

const fitted = (
  bands: Baseband[],
  setting = AS_HEARD,
  first: Glide = { amount: 0.002, timeConstantS: 0.35 },
) => fitGlide(bands, first, setting, new FitScratch(), null, false);

function expectGlide(fit: GlideFit, { amount, timeConstantS }: Glide, relative: number): void {
  expect(Math.abs(fit.glide.amount / amount - 1)).toBeLessThan(relative);
  expect(Math.abs(fit.glide.timeConstantS / timeConstantS - 1)).toBeLessThan(relative);
}

describe("fitGlide", () => {
  it("fitGlide(exact bands of one line each, in two channels) has the glide, and the decay rate of every line", () => {
    const fit = fitted(bandsOf({ ...HEARD, channels: 2 }));
    expectGlide(fit, GLIDE, 1e-4);
    expect(fit.poles.map(({ alpha }) => alpha.length)).toEqual([1, 1, 1]);
    [1, 3, 2].forEach((alpha, k) => {
      expect(fit.rates[k] / alpha).toBeCloseTo(1, 3);
      expect(fit.poles[k].omega[0] / (2 * Math.PI)).toBeCloseTo([0.4, -0.3, 1][k], 3);
    });
    expect(fit.share).toBeLessThan(1e-6);
  });

  it.each<["t" | "u", number]>([
    ["t", 0],
    ["u", 0],
    ["t", 0.004],
    ["u", 0.004],
  ])(
    "fitGlide(lines that decay by %s, a glide of %d off already) takes their clock into account",
    (decaysIn, off) => {
      const taken = { amount: off, timeConstantS: 0.2 };
      // The sound at s was heard at the t of s = t + d(t) for what was taken; to first order of 0.4 %, and the same in the code.
      const bands = bandsOf({
        ...HEARD,
        decayTime: (s) => s - glideDelayS(taken, s) + (decaysIn === "u" ? glideDelayS(GLIDE, s) : 0),
        phaseTime: (s) => s - glideDelayS(taken, s) + glideDelayS(GLIDE, s),
      });
      const rates = [1, 3, 2];
      const fit = fitted(bands, { ...AS_HEARD, taken, decaysIn, rates });
      expectGlide(fit, GLIDE, 1e-4);
      expect(fit.left).toBeLessThan(1e-3);
      // By the other clock a part in 10^5 of the energy of the band is left.
      const other = fitted(bands, { ...AS_HEARD, taken, rates, decaysIn: decaysIn === "t" ? "u" : "t" });
      expect(other.left).toBeGreaterThan(10);
    },
  );

  it.each([
    { amount: -0.002, timeConstantS: 0.3 },
    { amount: 0.0005, timeConstantS: 1 },
    { amount: 0.012, timeConstantS: 0.1 },
  ])("fitGlide(exact bands, from %o) comes to the glide from afar too", (first) => {
    expectGlide(fitted(bandsOf(HEARD), AS_HEARD, first), GLIDE, 1e-3);
  });

  it("fitGlide(bands in noise) leaves their noise and is off by no more than its errors, which are not wide", () => {
    for (const seed of [1, 2, 3]) {
      const fit = fitted(bandsOf({ ...HEARD, seed }));
      const [aa, at, tt] = fit.covariance;
      // Three errors of either, and their correlation a possible one.
      expect(Math.abs(fit.glide.amount - GLIDE.amount)).toBeLessThan(3 * Math.sqrt(aa));
      expect(Math.abs(Math.log(fit.glide.timeConstantS / GLIDE.timeConstantS))).toBeLessThan(
        3 * Math.sqrt(tt),
      );
      expect(Math.sqrt(aa)).toBeLessThan(1e-2 * GLIDE.amount);
      expect(at * at).toBeLessThan(aa * tt);
    }
  });

  it("fitGlide says what is left over as the fit on the bins leaves it: degrees of freedom times ln chi, share, and errors", () => {
    const bands = bandsOf({ ...HEARD, seed: 4, channels: 2 });
    // The bins are noisier than they are said to be.
    for (const base of bands)
      for (const v of base.variance)
        v.forEach((x, i) => {
          v[i] = x / 4;
        });
    const fit = fitted(bands);
    let left = 0;
    const shares: number[] = [];
    const own = bands.map((base, k) => {
      let [rss, energy, aa, at, tt, a, b] = [0, 0, 0, 0, 0, 0, 0];
      let bins = 0;
      for (const c of [0, 1]) {
        const { data, lines, tangents, byAmount, byLog, count } = linearised(base, c, fit, k);
        const rest = offAll(lines, data);
        rss += dot(rest, rest)[0];
        energy += dot(data, data)[0];
        const [u, v] = [byAmount, byLog].map((column) => offAll([...lines, ...tangents], column));
        const still = offAll([...lines, ...tangents], data);
        aa += dot(u, u)[0];
        at += dot(u, v)[0];
        tt += dot(v, v)[0];
        a += dot(u, still)[0];
        b += dot(v, still)[0];
        bins += count;
      }
      // Complex bins less a constant and a coefficient a channel, and the pole.
      const dof = bins - 2 * 2 - 1;
      left += dof * Math.log(rss / dof);
      shares.push((rss - dof) / energy);
      return [aa, at, tt, a, b].map((x) => x / (rss / dof));
    });
    expect(fit.left / left).toBeCloseTo(1, 6);
    expect(fit.share / shares.sort((x, y) => x - y)[1]).toBeCloseTo(1, 5);
    // The median, whichever of the bands comes first.
    for (const order of [
      [1, 0, 2],
      [0, 2, 1],
    ]) {
      const turned = fitted(order.map((k) => bands[k]));
      expect(turned.share / fit.share).toBeCloseTo(1, 3);
    }
    // Half the inverse, and one step of the fit without each band.
    const inverse = ([p, q, r]: number[]) => [r, -q, p].map((x) => x / (p * r - q * q));
    const whole = [0, 1, 2].map((i) => own.reduce((sum, o) => sum + o[i], 0));
    const covariance = inverse(whole).map((x) => x / 2);
    for (const [aa, at, tt, a, b] of own) {
      const rest = inverse([whole[0] - aa, whole[1] - at, whole[2] - tt]);
      const step = [rest[0] * a + rest[1] * b, rest[1] * a + rest[2] * b];
      covariance[0] += (2 / 3) * step[0] ** 2;
      covariance[1] += (2 / 3) * step[0] * step[1];
      covariance[2] += (2 / 3) * step[1] ** 2;
    }
    fit.covariance.forEach((v, i) => {
      expect(v / covariance[i]).toBeCloseTo(1, 3);
    });
  });

  it("fitGlide(one band) does not know whether others would glide alike", () => {
    expect(fitted(bandsOf(HEARD).slice(0, 1)).covariance).toEqual([
      Number.POSITIVE_INFINITY,
      0,
      Number.POSITIVE_INFINITY,
    ]);
  });

  it("fitGlide(a band of two lines) has them both only where bands may grow, and the rate of the louder", () => {
    const pair = [
      { offsetHz: -1, alpha: 1, amplitude: 0.05 },
      { offsetHz: 2, alpha: 2.5, amplitude: 0.1, phase: 1 },
    ];
    const bands = [bandAt(700, pair, { ...HEARD, seed: 5 }), ...bandsOf({ ...HEARD, seed: 6 })];
    const still = fitGlide(bands, GLIDE, AS_HEARD, new FitScratch(), null, false);
    expect(still.poles[0].alpha.length).toBe(1);
    const grown = fitGlide(bands, GLIDE, AS_HEARD, new FitScratch(), null, true);
    expect(grown.poles.map(({ alpha }) => alpha.length)).toEqual([2, 1, 1, 1]);
    expect(grown.rates[0]).toBeCloseTo(2.5, 1);
    expect(grown.left).toBeLessThan(still.left);
    // Those lines can be begun with.
    const known = fitGlide(bands, GLIDE, AS_HEARD, new FitScratch(), grown.poles, false);
    expect(known.poles.map(({ alpha }) => alpha.length)).toEqual([2, 1, 1, 1]);
    expect(known.left).toBeLessThan(grown.left + 0.1);
  });

  it("fitGlide(four lines in a band) grows to three at the most", () => {
    const four = [-6, -2, 2, 6].map((offsetHz) => ({ offsetHz, alpha: 2, amplitude: 0.1, phase: offsetHz }));
    const bands = [bandAt(1500, four, { ...HEARD, seed: 7 }), ...bandsOf({ ...HEARD, seed: 8 })];
    const { poles } = fitGlide(bands, GLIDE, AS_HEARD, new FitScratch(), null, true);
    expect(poles[0].alpha.length).toBe(3);
  });

  it("fitGlide(a departure) calls that part of every bin noise: what is left over shrinks", () => {
    const swinging = bandsOf({
      ...HEARD,
      phaseTime: (t) => t + glideDelayS(GLIDE, t) + 2e-4 * Math.sin(8 * t),
    });
    const strict = fitted(swinging);
    expect(strict.left).toBeGreaterThan(100);
    const departures: number[] = [];
    const departure = (omega: number) => {
      departures.push(omega);
      return 1;
    };
    // With all of a bin noise no bin stands over it: a sum of squares of one a bin at the most.
    expect(fitted(swinging, { ...AS_HEARD, departure }).left).toBe(0);
    expect(new Set(departures)).toEqual(new Set(swinging.map((b) => b.omega)));
  });

  it.each<[Glide, Glide, keyof Glide, number]>([
    [{ amount: 0.025, timeConstantS: 0.3 }, { amount: 0.018, timeConstantS: 0.3 }, "amount", 0.02],
    [{ amount: -0.025, timeConstantS: 0.3 }, { amount: -0.018, timeConstantS: 0.3 }, "amount", -0.02],
    [{ amount: 0.003, timeConstantS: 12 }, { amount: 0.003, timeConstantS: 3.6 }, "timeConstantS", 4],
    [{ amount: 0.01, timeConstantS: 0.004 }, { amount: 0.01, timeConstantS: 0.022 }, "timeConstantS", 0.02],
  ])(
    "fitGlide(a ring that glides by %o, from %o) goes no farther than bells do",
    (glide, first, key, limit) => {
      const bands = bandsOf({ ...HEARD, phaseTime: (t) => t + glideDelayS(glide, t) });
      expect(fitted(bands, AS_HEARD, first).glide[key]).toBe(limit);
    },
  );
});
