import { describe, expect, it } from "vitest";
import { lateSearches, quietNoise, silence } from "../../src/partials/ring-down.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { lineOf } from "./lines.ts";
import { openerOf, RING_RATE_HZ, RING_SD, ringDownOf } from "./rings.ts";

/** White noise: of `RING_SD` before, ten times that from `from` on. */
const louderFrom = (from: number) => {
  const ring = ringDownOf([], 1);
  const random = makeRandom(2);
  const [x] = ring.channels;
  for (let n = from; n < x.length; n++) x[n] += 10 * RING_SD * random.normal();
  return ring;
};

/** Noise in units of RING_SD squared, middle of all centres. */
const levelOf = (variance: Float64Array) => variance.toSorted()[variance.length >> 1] / RING_SD ** 2;

describe("quietNoise", () => {
  it("quietNoise(a stretch before the strike) is measured there and nowhere else", () => {
    const ring = { ...louderFrom(8192), onsetSample: 8192, quiet: { startSample: 0, endSample: 8192 } };
    const { noise, from } = quietNoise(ring);
    expect(from).toBe("before the strike");
    // Medians over 30 bins and more, of 7 blocks that share half their samples: one by a tenth, and three of those.
    expect(levelOf(noise[0].variance)).toBeGreaterThan(0.7);
    expect(levelOf(noise[0].variance)).toBeLessThan(1.3);
  });

  it("quietNoise(a stretch after the ring) says so", () => {
    const ring = { ...louderFrom(12_000), quiet: { startSample: 16_000, endSample: 24_000 } };
    const { noise, from } = quietNoise(ring);
    expect(from).toBe("after the ring");
    expect(levelOf(noise[0].variance)).toBeGreaterThan(70);
    expect(levelOf(noise[0].variance)).toBeLessThan(130);
  });

  it("quietNoise(no stretch, or one under 4096 samples) takes the last 15 % of the ring", () => {
    // The last 15 % of samples 4000 to 24 000 begin at 21 000.
    const ring = { ...louderFrom(21_000), ringStartSample: 4000 };
    const short = { ...ring, quiet: { startSample: 0, endSample: 4095 } };
    for (const each of [ring, short]) {
      const { noise, from } = quietNoise(each);
      expect(from).toBe("the residual");
      expect(levelOf(noise[0].variance)).toBeGreaterThan(70);
    }
    const long = { ...ring, onsetSample: 4096, quiet: { startSample: 0, endSample: 4096 } };
    expect(quietNoise(long).from).toBe("before the strike");
  });

  it("quietNoise never lies under the floor given, in any channel", () => {
    const [x] = ringDownOf([], 3).channels;
    const ring = { ...ringDownOf([], 3), channels: [x, new Float32Array(x.length)], noiseFloor: 1e-6 };
    const { noise } = quietNoise(ring);
    expect(noise.length).toBe(2);
    for (const { variance } of noise) expect(Math.min(...variance)).toBe(1e-6);
  });
});

describe("silence", () => {
  const step = 2 ** -15;
  /** Before the contact nothing but what `before` says, every other sample. */
  const silentRing = (before: number, onsetSample = 1000) => {
    const ring = { ...ringDownOf([], 1), onsetSample, noiseFloor: step ** 2 / 12 };
    for (let n = 0; n < onsetSample - 80; n++) ring.channels[0][n] = n % 2 ? before : 0;
    return ring;
  };

  it("silence(nothing but a step of the rounding before the blow) has the noise of the rounding at all frequencies", () => {
    for (const before of [0, step]) {
      const [noise] = silence(silentRing(before))!;
      expect(noise.variance.length).toBe(noise.centresHz.length);
      expect([...noise.variance]).toEqual([...noise.variance].fill(step ** 2 / 12));
    }
  });

  it("silence(something before the blow, or too little of it) is null", () => {
    expect(silence(silentRing(2 * step))).toBeNull();
    const flickering = silentRing(0);
    // Two samples in a hundred, of 920.
    flickering.channels[0].fill(5 * step, 100, 118);
    expect(silence(flickering)).not.toBeNull();
    flickering.channels[0].fill(5 * step, 100, 119);
    expect(silence(flickering)).toBeNull();
    expect(silence(silentRing(0, 479))).toBeNull();
    expect(silence(silentRing(0, 480))).not.toBeNull();
  });
});

describe("searchOpener", () => {
  it("searchOpener(less than a twentieth of a second, or 512 samples, left) opens none", () => {
    // A twentieth of a second at 8 kHz is 400 samples: 512 decide; at 16 kHz it is 800.
    const open = openerOf(ringDownOf([], 1, 1));
    expect(open(8000 - 511, 0)).toBe(null);
    expect(open(8000 - 512, 0)).not.toBe(null);
    const fast = openerOf({ ...ringDownOf([], 1, 1), sampleRateHz: 16_000 });
    expect(fast(8000 - 799, 0)).toBe(null);
    expect(fast(8000 - 800, 0)).not.toBe(null);
  });

  it("searchOpener opens at the sample asked for, with the misfit asked for, and shares no lines between searches", () => {
    const ring = ringDownOf([], 2, 1);
    const open = openerOf(ring);
    const first = open(100, 0.5)!;
    const again = open(100, 0.1)!;
    const later = open(300, 0)!;
    expect([first.misfit, again.misfit, later.misfit]).toEqual([0.5, 0.1, 0]);
    first.lines.push(lineOf({ frequencyHz: 500, alpha: 1 }));
    expect(again.lines).toEqual([]);
    for (const [search, start] of [
      [again, 100],
      [later, 300],
    ] as const) {
      const { size, re } = search.ladder[0];
      // The bin at zero frequency is the sum of the samples.
      const sum = ring.channels[0].subarray(start, start + size).reduce((a, b) => a + b, 0);
      expect(re[0][0]).toBeCloseTo(sum, 9);
    }
  });
});

describe("lateSearches", () => {
  it("lateSearches opens each delay once, with the lines moved there and the noise of the longest transform", () => {
    const open = openerOf(ringDownOf([], 3, 1));
    const search = open(100, 0.2)!;
    const line = lineOf({ frequencyHz: 100, alpha: 40 });
    search.lines = [line];
    const late = lateSearches(search, 100, open);
    const opened = late(0.01)!;
    expect(late(0.01)).toBe(opened);
    expect(opened.misfit).toBe(0.2);
    expect(opened.noise.every((step) => step === search.noise[0])).toBe(true);
    expect(opened.noise.length).toBe(opened.ladder.length);
    // One whole turn later, fallen by e^-0.4.
    expect(opened.lines[0].cRe[0]).toBeCloseTo(0.1 * Math.exp(-0.4), 12);
    expect(opened.lines[0].cIm[0]).toBeCloseTo(0, 12);
    const sum = opened.ladder[0].re[0][0];
    expect(sum).toBeCloseTo(open(100 + 0.01 * RING_RATE_HZ, 0)!.ladder[0].re[0][0], 12);
    expect(late(0.97)).toBe(null);
  });
});
