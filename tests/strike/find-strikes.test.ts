import { describe, expect, it } from "vitest";
import { findStrikes } from "../../src/strike/index.ts";
import { BELL_KINDS, makeBell, makeRandom } from "../support/synthetic/index.ts";
import { addBackground, addStrike, bellOf, RATE_HZ, samplesOf, withNoise } from "./support.ts";

/** The predictor's error is looked at in steps of a quarter of a millisecond, two at a time. */
const STEP_MS = 0.5;

const ms = (samples: number, rateHz = RATE_HZ) => (1000 * samples) / rateHz;

describe("where there is nothing to find", () => {
  const nothing = (channels: Float32Array[], reason: RegExp) => {
    const search = findStrikes(channels, RATE_HZ);
    expect(search).toMatchObject({ strikes: [], best: -1, quiet: null });
    expect(search.reason).toMatch(reason);
    expect(search.reason).toMatch(/^[A-Z].*\.$/);
  };

  it("findStrikes() of no channel, of none and of one sample says that the recording is too short", () => {
    nothing([], /only 0 ms/);
    nothing([new Float32Array(0)], /only 0 ms/);
    nothing([new Float32Array(1)], /only 0 ms/);
  });

  it("findStrikes() of 50 ms says so", () => {
    nothing([new Float32Array(samplesOf(0.05)).fill(0.5)], /only 50 ms/);
  });

  it("findStrikes() of silence and of a constant says that it is silent", () => {
    nothing([new Float32Array(samplesOf(2))], /silent/);
    nothing([new Float32Array(samplesOf(2)).fill(0.25)], /silent/);
  });

  it("findStrikes() of a strike in the last 20 ms says that there is no ring", () => {
    const x = new Float64Array(samplesOf(1));
    addStrike(x, bellOf(makeRandom(1)), samplesOf(0.98));
    addBackground(x, 1e-4, 0);
    nothing([Float32Array.from(x)], /strike/);
  });

  it("findStrikes() of digital silence before steady noise does not take the noise for a strike", () => {
    const x = new Float64Array(samplesOf(2));
    addBackground(x.subarray(samplesOf(0.05)), 0.01, 0);
    nothing([Float32Array.from(x)], /No strike/);
  });

  it("findStrikes() of a click without a ring finds none", () => {
    const x = new Float64Array(samplesOf(2));
    const random = makeRandom(3);
    for (let n = 0; n < 200; n++) x[samplesOf(1) + n] = 0.5 * random.normal() * Math.exp(-n / 40);
    addBackground(x, 1e-3, 0);
    nothing([Float32Array.from(x)], /No strike/);
  });
});

describe("one strike", () => {
  it.each(BELL_KINDS)(
    "findStrikes() finds a %s bell once, its contact within 3 ms, and the fit begins after the last contact",
    (kind) => {
      for (let seed = 100; seed < 104; seed++) {
        const { channels, sampleRateHz, truth } = makeBell(kind, seed);
        const { strikes, best } = findStrikes(channels, sampleRateHz);
        expect(strikes, `seed ${seed}`).toHaveLength(1);
        expect(best).toBe(0);
        const [strike] = strikes;
        expect(strike.onsetSeen).toBe(true);
        expect(
          Math.abs(ms(strike.onsetSample - truth.onsetSample, sampleRateHz)),
          `seed ${seed}`,
        ).toBeLessThan(3);
        // 6 ms after a single contact and 40 ms after a bounce, less one step of the search.
        const after = ms(strike.ringStartSample - truth.lastContactSample, sampleRateHz);
        expect(after).toBeGreaterThan((kind === "bounce" ? 40 : 6) - STEP_MS);
        if (kind === "bounce") expect(strike.contactSamples.length).toBeGreaterThan(1);
      }
    },
  );

  it.each([
    [0, 9],
    [3, 10],
    [10, 10],
    [20, 10],
    [40, 10],
    [60, 10],
  ])(
    "findStrikes() at %i dB over the noise finds %i of 10 bells at least, and nothing else",
    (snrDb, least) => {
      let hits = 0;
      for (let seed = 0; seed < 10; seed++) {
        const random = makeRandom(seed);
        const x = new Float64Array(samplesOf(2));
        const at = samplesOf(random.between(0.1, 1));
        addStrike(x, bellOf(random), at);
        const { strikes } = findStrikes(withNoise(x, at, snrDb, seed), RATE_HZ);
        const near = strikes.filter((strike) => Math.abs(ms(strike.onsetSample - at)) < 15);
        expect(strikes.length - near.length).toBe(0);
        hits += near.length;
        // At good SNR the contact is known to a step of the search, and the rod touched once.
        if (snrDb >= 40) {
          expect(Math.abs(ms(near[0].onsetSample - at))).toBeLessThan(STEP_MS);
          expect(near[0].contactSamples).toHaveLength(1);
        }
      }
      expect(hits).toBeGreaterThanOrEqual(least);
    },
  );

  it.each([8000, 22050, 48000, 96000, 192000])(
    "findStrikes() places the contact within 1 ms at %i Hz",
    (rateHz) => {
      const x = new Float32Array(rateHz);
      const at = Math.round(0.4 * rateHz);
      const random = makeRandom(rateHz);
      for (const [f, t60] of [
        [420, 2],
        [840, 1.5],
        [1010, 1.2],
        [1270, 1],
        [1690, 0.8],
        [2550, 0.5],
      ]) {
        for (let n = at; n < x.length; n++) {
          x[n] +=
            0.1 *
            Math.exp((-6.908 * (n - at)) / rateHz / t60) *
            Math.sin((2 * Math.PI * f * (n - at)) / rateHz);
        }
      }
      for (let n = 0; n < x.length; n++) x[n] += 1e-4 * random.normal();
      const { strikes } = findStrikes([x], rateHz);
      expect(strikes).toHaveLength(1);
      expect(Math.abs(ms(strikes[0].onsetSample - at, rateHz))).toBeLessThan(1);
    },
  );

  it("findStrikes() of two channels in opposite phase finds what each of them shows", () => {
    const x = new Float64Array(samplesOf(2));
    addStrike(x, bellOf(makeRandom(5)), samplesOf(0.5), 0.02);
    addBackground(x, 1e-4, 1);
    const left = Float32Array.from(x);
    const right = left.map((value) => -value);
    const both = findStrikes([left, right], RATE_HZ);
    expect(both.strikes).toHaveLength(1);
    expect(both.strikes[0].onsetSample).toBe(findStrikes([left], RATE_HZ).strikes[0].onsetSample);
  });

  it("findStrikes() gives the quiet before the strike, the peak and the level over the noise", () => {
    const x = new Float64Array(samplesOf(3));
    const at = samplesOf(1);
    addStrike(x, bellOf(makeRandom(6)), at);
    const channels = withNoise(x, at, 40, 0);
    const { strikes, quiet } = findStrikes(channels, RATE_HZ);
    expect(quiet?.where).toBe("before the strike");
    expect(quiet?.startSample).toBe(0);
    expect(quiet?.endSample).toBeLessThan(at);
    expect(quiet?.endSample).toBeGreaterThan(at - samplesOf(0.02));
    const peak = channels[0].reduce((top, value) => Math.max(top, Math.abs(value)), 0);
    expect(strikes[0].peakDbfs).toBeCloseTo(20 * Math.log10(peak), 6);
    // The level holds the noise too (0.0004 dB); noise over 0.99 s of white noise is known to 1 %, 0.04 dB (2 sd).
    expect(strikes[0].snrDb).toBeCloseTo(40, 0);
  });

  it("findStrikes() starts the fit after clipping has ended and says that the strike clips", () => {
    const x = new Float64Array(samplesOf(2));
    const at = samplesOf(0.5);
    addStrike(x, bellOf(makeRandom(7)), at);
    const channels = withNoise(x, at, 50, 0);
    const clip: [number, number] = [at + 10, at + samplesOf(0.08)];
    const clipped = findStrikes(channels, RATE_HZ, [clip]).strikes[0];
    expect(clipped.clipped).toBe(true);
    expect(clipped.ringStartSample).toBeGreaterThan(clip[1]);
    // Clipping before the strike (a knock on the microphone) is not the strike's.
    const other = findStrikes(channels, RATE_HZ, [[100, 200]]).strikes[0];
    expect(other.clipped).toBe(false);
    expect(ms(other.ringStartSample - at)).toBeLessThan(10);
  });
});

describe("where the recording begins", () => {
  it.each([0.05, 0.3])(
    "findStrikes() of a recording that begins %f s after the blow begins the strike there and says that the onset was not seen",
    (afterS) => {
      for (let seed = 0; seed < 6; seed++) {
        const x = new Float64Array(samplesOf(4));
        addStrike(x, bellOf(makeRandom(seed + 70)), 0);
        const channels = withNoise(x, 0, 40, seed).map((channel) => channel.slice(samplesOf(afterS)));
        const { strikes } = findStrikes(channels, RATE_HZ);
        expect(strikes).toHaveLength(1);
        expect(strikes[0]).toMatchObject({ onsetSample: 0, onsetSeen: false });
        expect(strikes[0].ringStartSample).toBeGreaterThan(0);
      }
    },
  );

  it.each([0, 1, 5, 20, 50])(
    "findStrikes() of a recording cut %i ms before the blow finds it",
    (beforeMs) => {
      for (let seed = 0; seed < 6; seed++) {
        const x = new Float64Array(samplesOf(4));
        const at = samplesOf(beforeMs / 1000);
        addStrike(x, bellOf(makeRandom(seed + 70)), at);
        const { strikes } = findStrikes(withNoise(x, at, 50, seed), RATE_HZ);
        expect(strikes).toHaveLength(1);
        expect(Math.abs(ms(strikes[0].onsetSample - at))).toBeLessThan(1);
        expect(strikes[0].onsetSeen).toBe(beforeMs > 0);
      }
    },
  );

  it("findStrikes() of digital silence and then the blow finds it where the silence ends", () => {
    const x = new Float64Array(samplesOf(2));
    const at = samplesOf(0.3);
    addStrike(x, bellOf(makeRandom(8)), at, 0.02);
    for (let n = at; n < x.length; n++) x[n] += 1e-5 * Math.sin(n * n);
    const { strikes } = findStrikes([Float32Array.from(x)], RATE_HZ);
    expect(strikes).toHaveLength(1);
    expect(strikes[0].onsetSeen).toBe(true);
    expect(Math.abs(ms(strikes[0].onsetSample - at))).toBeLessThan(STEP_MS);
  });
});
