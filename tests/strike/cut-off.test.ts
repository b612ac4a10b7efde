import { describe, expect, it } from "vitest";
import { findStrikes } from "../../src/strike/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { addStrike, bellOf, RATE_HZ, samplesOf, withNoise } from "./support.ts";

const AT = samplesOf(0.4);
const SEEDS = [0, 1, 2, 3, 4, 5];

/** Three seconds of a bell, 50 dB over its noise, turned down by `gain` from `atS` on. */
function turnedDown(seed: number, atS: number, gain: (sinceS: number) => number): Float32Array[] {
  const x = new Float64Array(samplesOf(3));
  addStrike(x, bellOf(makeRandom(seed + 50)), AT);
  const [channel] = withNoise(x, AT, 50, seed);
  for (let n = samplesOf(atS); n < channel.length; n++) channel[n] *= gain(n / RATE_HZ - atS);
  return [channel];
}

describe("a recording that is turned down", () => {
  it("findStrikes() ends the ring where it was cut and filled up with silence", () => {
    for (const seed of SEEDS) {
      const [strike] = findStrikes(
        turnedDown(seed, 1.8, () => 0),
        RATE_HZ,
      ).strikes;
      expect(strike.endedBy, `seed ${seed}`).toBe("cut off");
      // Levels are means over 25 ms, and the block in which the fall begins is left out.
      expect(strike.endSample).toBeLessThanOrEqual(samplesOf(1.8));
      expect(strike.endSample).toBeGreaterThan(samplesOf(1.7));
    }
  });

  it("findStrikes() ends the ring where a gate closes by 40 dB within some tens of milliseconds", () => {
    for (const seed of SEEDS) {
      const gate = (t: number) => Math.max(0.01, Math.exp(-t / 0.03));
      const [strike] = findStrikes(turnedDown(seed, 1.5, gate), RATE_HZ).strikes;
      expect(strike.endedBy, `seed ${seed}`).toBe("cut off");
      expect(strike.endSample).toBeLessThanOrEqual(samplesOf(1.53));
      expect(strike.endSample).toBeGreaterThan(samplesOf(1.35));
    }
  });

  it("findStrikes() ends the ring where a slow gate closes by 29 dB, and takes it for no hand", () => {
    for (const seed of SEEDS) {
      const gate = (t: number) => 0.035 + 0.965 * Math.exp(-t / 0.08);
      const [strike] = findStrikes(turnedDown(seed, 1.5, gate), RATE_HZ).strikes;
      expect(strike.endedBy, `seed ${seed}`).toBe("cut off");
      expect(strike.endSample).toBeLessThanOrEqual(samplesOf(1.55));
      expect(strike.endSample).toBeGreaterThan(samplesOf(1.3));
    }
  });

  it("findStrikes() does not mind a fade over the last tenth of a second", () => {
    for (const seed of SEEDS) {
      const [strike] = findStrikes(
        turnedDown(seed, 2.9, (t) => Math.max(0, 1 - 10 * t)),
        RATE_HZ,
      ).strikes;
      expect(strike.endedBy, `seed ${seed}`).toBe("end of recording");
    }
  });

  it("findStrikes() does not take a ring that nobody touched for one that was cut off", () => {
    for (let seed = 0; seed < 12; seed++) {
      const { strikes } = findStrikes(
        turnedDown(seed, 3, () => 1),
        RATE_HZ,
      );
      expect(strikes[0].endedBy, `seed ${seed}`).not.toBe("cut off");
    }
  });

  it("findStrikes() does not take noise for a ring where a gain control turns it down under the ring", () => {
    for (const seed of SEEDS) {
      const x = new Float64Array(samplesOf(3));
      addStrike(x, bellOf(makeRandom(seed + 50)), AT);
      const channels = withNoise(x, AT, 40, seed);
      // 20 dB down at the blow, and slowly up again.
      for (let n = AT; n < x.length; n++) channels[0][n] *= 1 - 0.9 * Math.exp(-(n - AT) / samplesOf(1.5));
      const { strikes } = findStrikes(channels, RATE_HZ);
      expect(strikes, `seed ${seed}`).toHaveLength(1);
      expect(strikes[0].onsetSeen).toBe(true);
    }
  });

  it("findStrikes() takes clipping neither for contacts nor for a rattle", () => {
    for (const seed of SEEDS) {
      const x = new Float64Array(samplesOf(3));
      addStrike(x, bellOf(makeRandom(seed + 50)), AT);
      const [channel] = withNoise(x, AT, 60, seed);
      const top = 0.4 * channel.reduce((peak, v) => Math.max(peak, Math.abs(v)), 0);
      let last = 0;
      for (let n = 0; n < channel.length; n++) {
        if (Math.abs(channel[n]) <= top) continue;
        channel[n] = Math.sign(channel[n]) * top;
        last = n;
      }
      const [strike] = findStrikes([channel], RATE_HZ, [[AT, last + 1]]).strikes;
      expect(strike.contactSamples, `seed ${seed}`).toHaveLength(1);
      expect(strike.rattle).toBe(false);
      expect(strike.ringStartSample).toBeGreaterThan(last);
    }
  });
});
