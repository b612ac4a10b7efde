import { describe, expect, it } from "vitest";
import { findStrikes } from "../../src/strike/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { addClick, addStrike, bellOf, RATE_HZ, rmsOf, samplesOf, withNoise } from "./support.ts";

/** A strike followed for 0.8 s by bursts at irregular intervals of 20 to 120 ms, `levelDb` re the first 50 ms of the ring. */
function rattling(seed: number, levelDb: number): Float64Array {
  const random = makeRandom(seed);
  const x = new Float64Array(samplesOf(2.5));
  const at = samplesOf(0.4);
  addStrike(x, bellOf(random), at);
  let height = 3 * rmsOf(x, at, at + samplesOf(0.05)) * 10 ** (levelDb / 20);
  let timeS = 0.43;
  while (timeS < 1.2) {
    addClick(x, samplesOf(timeS), height, random);
    timeS += random.between(0.02, 0.12);
    height *= 0.93;
  }
  return x;
}

describe("a rattle", () => {
  it.each([-20, -30, -40])(
    "findStrikes() hears bursts of %i dB in the ring as a rattle of one strike",
    (levelDb) => {
      for (let seed = 0; seed < 8; seed++) {
        const { strikes } = findStrikes(
          withNoise(rattling(seed, levelDb), samplesOf(0.4), 55, seed),
          RATE_HZ,
        );
        expect(strikes, `seed ${seed}`).toHaveLength(1);
        expect(strikes[0].rattle, `seed ${seed}`).toBe(true);
      }
    },
  );

  it("findStrikes() hears none in 30 bells that ring freely, nor in one click", () => {
    for (let seed = 0; seed < 30; seed++) {
      const random = makeRandom(seed + 300);
      const x = new Float64Array(samplesOf(2));
      const at = samplesOf(0.4);
      addStrike(x, bellOf(random), at);
      if (seed % 3 === 0) addClick(x, samplesOf(1), 0.2 * rmsOf(x, at, at + 2000), random);
      const { strikes } = findStrikes(withNoise(x, at, 15 + 2 * seed, seed), RATE_HZ);
      expect(strikes[0].rattle, `seed ${seed}`).toBe(false);
    }
  });

  it("findStrikes() prefers a strike without a rattle, even one 10 dB softer", () => {
    const x = new Float64Array(samplesOf(5));
    x.set(rattling(4, -20));
    const clean = new Float64Array(samplesOf(2.5));
    addStrike(clean, bellOf(makeRandom(4)), samplesOf(0.4), 0.3);
    x.set(clean, samplesOf(2.5));
    const { strikes, best } = findStrikes(withNoise(x, samplesOf(0.4), 55, 0), RATE_HZ);
    expect(strikes.map((strike) => strike.rattle)).toEqual([true, false]);
    expect(best).toBe(1);
  });
});
