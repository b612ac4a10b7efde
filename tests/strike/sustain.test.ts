import { describe, expect, it } from "vitest";
import { decayCurve, noisePower, reverberationTimes, sustainOf } from "../../src/strike/index.ts";
import { decayRateOfT60, makeRandom } from "../support/synthetic/index.ts";
import { addBackground, RATE_HZ, samplesOf } from "./support.ts";

const NONE = { t60S: null, edtS: null, t20S: null, t30S: null, audibleS: null };

/** A carrier of constant power, so that the energy decays exactly: the sign changes from sample to sample. */
function ring(lengthS: number, power: (timeS: number) => number): Float64Array {
  return Float64Array.from(
    { length: samplesOf(lengthS) },
    (_, n) => (n % 2 ? 1 : -1) * Math.sqrt(power(n / RATE_HZ)),
  );
}

const exponential = (t60S: number) => (timeS: number) => Math.exp(-2 * decayRateOfT60(t60S) * timeS);

/** Slope of the straight line through an exact decay level, scaled to 60 dB, by a fine grid. */
function lineThrough(levelDb: (timeS: number) => number, topDb: number, bottomDb: number): number {
  const points: [number, number][] = [];
  for (let t = 0; t < 10; t += 1e-4) {
    const level = levelDb(t);
    if (level <= topDb && level >= bottomDb) points.push([t, level]);
  }
  const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const meanT = mean(points.map(([t]) => t));
  const meanL = mean(points.map(([, level]) => level));
  const sxy = points.reduce((sum, [t, level]) => sum + (t - meanT) * (level - meanL), 0);
  const sxx = points.reduce((sum, [t]) => sum + (t - meanT) ** 2, 0);
  return (-60 * sxx) / sxy;
}

describe("what does not decay", () => {
  it("sustainOf() of nothing, of silence, of a constant, of noise and of a sound that swells is null throughout", () => {
    const steady = new Float64Array(samplesOf(2));
    addBackground(steady, 0.1, 0);
    const swelling = ring(2, (t) => Math.exp(t));
    for (const x of [
      new Float64Array(0),
      new Float64Array(10),
      new Float64Array(samplesOf(1)),
      new Float64Array(samplesOf(1)).fill(0.3),
      steady,
      swelling,
    ]) {
      expect(sustainOf([Float32Array.from(x)], RATE_HZ, 0, x.length, null)).toEqual(NONE);
    }
    expect(sustainOf([new Float32Array(1000)], RATE_HZ, 900, 100, null)).toEqual(NONE);
  });
});

describe("a pure exponential decay", () => {
  // ISO 3382-1: all decay times of a pure exponential are its reverberation time.
  it.each([0.5, 1, 2])("sustainOf() gives T = %f s for EDT, T20 and T30", (t60S) => {
    const x = Float32Array.from(ring(1.5 * t60S, exponential(t60S)));
    const { t60S: best, edtS, t20S, t30S } = sustainOf([x], RATE_HZ, 0, x.length, null);
    for (const found of [edtS, t20S, t30S]) {
      // Single-precision samples, values one a millisecond: what remains is rounding, 1e-6 or so.
      expect(Math.abs(found!.value / t60S - 1)).toBeLessThan(1e-4);
      expect(found!.ci95).toBeLessThan(0.001 * t60S);
    }
    expect(best).toEqual(t30S);
  });

  it.each([0.55, 0.7, 0.9])(
    "sustainOf() of a record cut at %f of its 60 dB gives what is covered 10 dB over the cut, and the right time",
    (share) => {
      const x = Float32Array.from(ring(2 * share, exponential(2)));
      const { edtS, t20S, t30S } = sustainOf([x], RATE_HZ, 0, x.length, null);
      // At the cut the level is 60 share dB down; T20 asks for 35 dB, T30 for 45.
      expect(edtS).not.toBeNull();
      expect(t20S === null).toBe(60 * share < 35);
      expect(t30S === null).toBe(60 * share < 45);
      for (const found of [edtS, t20S, t30S])
        if (found) expect(Math.abs(found.value - 2)).toBeLessThan(found.ci95 + 2e-4);
    },
  );

  it("sustainOf() adds the channels' powers, which opposite phases do not cancel", () => {
    const x = Float32Array.from(ring(2, exponential(1)));
    const found = sustainOf([x, x.map((value) => -value)], RATE_HZ, 0, x.length, null);
    expect(found.t30S!.value).toBeCloseTo(1, 3);
  });
});

describe("two slopes", () => {
  it("sustainOf() gives for each range the straight line through the exact curve", () => {
    const [a1, t1, a2, t2] = [1, 0.4, 0.03, 2];
    const x = Float32Array.from(ring(4, (t) => a1 * exponential(t1)(t) + a2 * exponential(t2)(t)));
    const exact = (t: number) =>
      10 * Math.log10((a1 * t1 * exponential(t1)(t) + a2 * t2 * exponential(t2)(t)) / (a1 * t1 + a2 * t2));
    const { edtS, t20S, t30S } = sustainOf([x], RATE_HZ, 0, x.length, null);
    // Values come one a millisecond, so the ends of a range are known to 1 ms of its 75 ms at least.
    expect(Math.abs(edtS!.value / lineThrough(exact, 0, -10) - 1)).toBeLessThan(0.01);
    expect(Math.abs(t20S!.value / lineThrough(exact, -5, -25) - 1)).toBeLessThan(0.01);
    expect(Math.abs(t30S!.value / lineThrough(exact, -5, -35) - 1)).toBeLessThan(0.01);
    expect(t30S!.value).toBeGreaterThan(3 * edtS!.value);
  });
});

/** Whether 95 % intervals held, of those that were given. */
class Coverage {
  given = 0;
  held = 0;
  add(found: { value: number; ci95: number } | null, truth: number): void {
    if (found === null) return;
    this.given++;
    if (Math.abs(found.value - truth) <= found.ci95) this.held++;
  }
}

describe("decays in noise", () => {
  it.each(["tone", "noise"])(
    "sustainOf() of a decaying %s in noise gives intervals that hold the true times, and only ranges 10 dB over the noise",
    (carrier) => {
      const times = { edtS: new Coverage(), t20S: new Coverage(), t30S: new Coverage() };
      const audible = new Coverage();
      for (let seed = 0; seed < 90; seed++) {
        const random = makeRandom(seed);
        const t60S = [0.5, 1, 2][seed % 3];
        const snrDb = [30, 40, 60][Math.floor(seed / 3) % 3];
        const onset = samplesOf(0.4);
        const x = new Float64Array(onset + samplesOf(1.4 * t60S + 0.3));
        const step = (2 * Math.PI * random.between(500, 3000)) / RATE_HZ;
        for (let n = onset; n < x.length; n++) {
          const wave = carrier === "tone" ? Math.SQRT2 * Math.sin(step * n) : random.normal();
          x[n] = wave * Math.sqrt(exponential(t60S)((n - onset) / RATE_HZ));
        }
        addBackground(x, 10 ** (-snrDb / 20), seed);
        const quiet = { startSample: 0, endSample: onset - 441, where: "before the strike" as const };
        const found = sustainOf([Float32Array.from(x)], RATE_HZ, onset, x.length, quiet);
        // 35 dB over the noise for T20, 45 dB for T30 (ISO 3382-1, from memory).
        if (snrDb < 35) expect(found.t20S).toBeNull();
        if (snrDb < 45) expect(found.t30S).toBeNull();
        if (snrDb === 60) expect(found.t30S).not.toBeNull();
        expect(found.t60S).toEqual(found.t30S ?? found.t20S ?? found.edtS);
        times.edtS.add(found.edtS, t60S);
        times.t20S.add(found.t20S, t60S);
        times.t30S.add(found.t30S, t60S);
        // The level of the ring is that of the noise after snrDb of decay.
        audible.add(found.audibleS, (t60S * snrDb) / 60);
      }
      for (const { given, held } of Object.values(times)) {
        expect(given).toBeGreaterThanOrEqual(30);
        // 95 % of 30 give or take 4 % (sd); wider intervals are no fault.
        expect(held / given).toBeGreaterThan(0.87);
      }
      expect(audible.given).toBe(90);
      // 95 % of 90 give or take 2.3 % (sd), and the line is straight in the logarithm, which noise bends a little.
      expect(audible.held / audible.given).toBeGreaterThan(0.86);
    },
  );

  it("sustainOf() of two partials that beat gives intervals that hold the decay time", () => {
    const cover = new Coverage();
    for (let seed = 0; seed < 40; seed++) {
      const random = makeRandom(seed);
      const x = new Float64Array(samplesOf(4));
      const beatHz = random.logBetween(1, 8);
      const [p1, p2] = [random.between(0, 6.28), random.between(0, 6.28)];
      for (let n = 0; n < x.length; n++) {
        const t = n / RATE_HZ;
        const wave =
          Math.sin(2 * Math.PI * 700 * t + p1) + 0.5 * Math.sin(2 * Math.PI * (700 + beatHz) * t + p2);
        x[n] = 0.3 * wave * Math.sqrt(exponential(2.5)(t));
      }
      addBackground(x, 1e-5, seed);
      cover.add(sustainOf([Float32Array.from(x)], RATE_HZ, 0, x.length, null).t20S, 2.5);
    }
    expect(cover.given).toBe(40);
    expect(cover.held / cover.given).toBeGreaterThan(0.87);
  });

  it("decayCurve() with noise taken off falls where without it the curve would level out", () => {
    const x = ring(2, exponential(0.8));
    addBackground(x, 0.01, 0);
    const channels = [Float32Array.from(x)];
    const noise = noisePower(channels, RATE_HZ, null, 0, x.length);
    // rms 0.01, white, 0.4 s of it: known to 0.75 % (sd of the variance), the tail of the ring adds 1e-9.
    expect(Math.abs(noise.value / 1e-4 - 1)).toBeLessThan(0.03);
    const curve = decayCurve(channels, RATE_HZ, 0, x.length, noise)!;
    // 40 dB under the start after 40/60 of 0.8 s.
    expect(Math.abs(curve.meetsNoiseS!.value - (0.8 * 40) / 60)).toBeLessThan(
      curve.meetsNoiseS!.ci95 + 0.001,
    );
    const at = Math.round(0.4 / curve.stepS);
    expect(Math.abs(curve.levelDb[at] + 30)).toBeLessThan(0.5);
    expect(reverberationTimes(curve).t30S).toBeNull();
  });
});

describe("noisePower", () => {
  it("noisePower() of a ring that falls to the end says 0, and at most the power of its last fifth", () => {
    const x = Float32Array.from(ring(1, exponential(1)));
    const { value, ci95 } = noisePower([x], RATE_HZ, null, 0, x.length);
    expect(value).toBe(0);
    // The mean of exp(-13.8 t) over the last fifth is 6.5 times its end, 1e-6.
    expect(ci95).toBeGreaterThan(1e-6);
    expect(ci95).toBeLessThan(1e-5);
  });

  it("noisePower() takes the end of the ring where it is quieter than the quiet before the strike", () => {
    const x = new Float64Array(samplesOf(4));
    addBackground(x.subarray(0, samplesOf(1)), 0.05, 0);
    addBackground(x, 0.001, 3);
    const quiet = { startSample: 0, endSample: samplesOf(0.9), where: "before the strike" as const };
    const { value } = noisePower([Float32Array.from(x)], RATE_HZ, quiet, samplesOf(1), x.length);
    expect(value).toBeLessThan(2e-6);
  });
});
