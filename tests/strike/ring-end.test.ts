import { describe, expect, it } from "vitest";
import { findStrikes } from "../../src/strike/index.ts";
import { decayRateOfT60, makeRandom } from "../support/synthetic/index.ts";
import { addBackground, addStrike, bellOf, RATE_HZ, rmsOf, samplesOf, withNoise } from "./support.ts";

/** A bell that a hand stops at `dampedS` after the blow, with a reverberation time of `handS` from then on. */
function damped(seed: number, dampedS: number, handS: number): { x: Float64Array; at: number; hand: number } {
  const x = new Float64Array(samplesOf(5));
  const at = samplesOf(0.5);
  const hand = at + samplesOf(dampedS);
  addStrike(x, bellOf(makeRandom(seed)), at);
  const rate = decayRateOfT60(handS) / RATE_HZ;
  for (let n = hand; n < x.length; n++) x[n] *= Math.exp(-rate * (n - hand));
  return { x, at, hand };
}

describe("the end of a ring", () => {
  it.each([0.1, 0.3])("findStrikes() sees a hand that takes the ring away in %f s", (handS) => {
    for (let seed = 0; seed < 12; seed++) {
      // Early enough for two partials at least to stand over the noise: one alone could be beating.
      const { x, at, hand } = damped(seed, 0.4 + 0.1 * (seed % 6), handS);
      const { strikes } = findStrikes(withNoise(x, at, 55, seed), RATE_HZ);
      expect(strikes, `seed ${seed}`).toHaveLength(1);
      expect(strikes[0].endedBy, `seed ${seed}`).toBe("hand damping");
      // Blocks of 50 ms: what is kept ends one or two blocks before the hand, or in that in which it comes down.
      const endMs = (1000 * (strikes[0].endSample - hand)) / RATE_HZ;
      expect(endMs, `seed ${seed}`).toBeGreaterThan(-100);
      expect(endMs, `seed ${seed}`).toBeLessThan(50);
    }
  });

  it("findStrikes() sees no hand in 30 bells that ring freely", () => {
    for (let seed = 0; seed < 30; seed++) {
      const x = new Float64Array(samplesOf(3));
      addStrike(x, bellOf(makeRandom(seed)), samplesOf(0.5));
      const { strikes } = findStrikes(withNoise(x, samplesOf(0.5), 20 + seed, seed), RATE_HZ);
      expect(strikes[0].endedBy, `seed ${seed}`).not.toBe("hand damping");
    }
  });

  it("findStrikes() sees a hand in a tenth at most of rings whose four partials all beat down to nothing alike", () => {
    const random = makeRandom(5);
    const decayRatePerS = decayRateOfT60(1);
    let hands = 0;
    for (let seed = 0; seed < 50; seed++) {
      const x = new Float64Array(samplesOf(3.4));
      const member = (frequencyHz: number, amplitude: number) => ({
        frequencyHz,
        decayRatePerS,
        amplitude: Float64Array.of(amplitude),
        phaseRad: Float64Array.of(random.between(-Math.PI, Math.PI)),
      });
      const pairs = [430, 1010, 2270, 4900].flatMap((centreHz) => {
        const frequencyHz = centreHz * random.between(0.95, 1.05);
        return [member(frequencyHz, 1), member(frequencyHz + 1.65, 1)];
      });
      addStrike(x, pairs, samplesOf(0.4));
      const { strikes } = findStrikes(withNoise(x, samplesOf(0.4), 28, seed), RATE_HZ);
      if (strikes[0]?.endedBy === "hand damping") hands++;
    }
    expect(hands).toBeLessThanOrEqual(5);
  });

  it("findStrikes() ends a ring at the noise, later rather than earlier, and the quiet after it is quiet", () => {
    for (let seed = 0; seed < 6; seed++) {
      const x = new Float64Array(samplesOf(6));
      const t60S = 1.5;
      const modes = bellOf(makeRandom(seed)).map((mode) => ({
        ...mode,
        decayRatePerS: decayRateOfT60(t60S),
      }));
      // No pre-roll to speak of, so the noise is that after the ring.
      const at = samplesOf(0.03);
      addStrike(x, modes, at);
      const channels = withNoise(x, at, 40, 0);
      const { strikes, quiet } = findStrikes(channels, RATE_HZ);
      expect(strikes[0].endedBy).toBe("noise floor");
      // The whole sound falls by 40 dB in 1 s; the bands of the partials stand a good 20 dB further over their noise.
      const usedS = (strikes[0].endSample - at) / RATE_HZ;
      expect(usedS).toBeGreaterThan(1);
      expect(usedS).toBeLessThan(4);
      expect(quiet?.where).toBe("after the ring");
      const level = rmsOf(channels[0], quiet!.startSample, quiet!.endSample);
      // 2 s of white noise: its rms is known to 0.3 % (sd), the ring adds nothing.
      expect(level / (0.1 * 10 ** (-40 / 20))).toBeCloseTo(1, 1);
    }
  });

  it("findStrikes() of a ring that lasts to the end says so and has no quiet where there is no pre-roll", () => {
    const x = new Float64Array(samplesOf(2));
    const modes = bellOf(makeRandom(3)).map((mode) => ({ ...mode, decayRatePerS: 1 }));
    addStrike(x, modes, 0, 0.02);
    addBackground(x, 1e-6, 0);
    const { strikes, quiet } = findStrikes([Float32Array.from(x)], RATE_HZ);
    expect(strikes).toHaveLength(1);
    expect(strikes[0]).toMatchObject({ endedBy: "end of recording", endSample: x.length });
    expect(quiet).toBeNull();
  });
});
