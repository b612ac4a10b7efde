import { describe, expect, it } from "vitest";
import { findStrikes } from "../../src/strike/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { addClick, addStrike, bellOf, RATE_HZ, rmsOf, samplesOf, withNoise } from "./support.ts";

const AT_S = 0.4;
const AT = samplesOf(AT_S);
const SEEDS = [0, 1, 2, 3, 4, 5];

/** Four seconds of a bell, 50 dB over its noise, and what `more` adds. */
function bell(seed: number, more: (x: Float64Array, loudness: number) => void = () => {}): Float32Array {
  const x = new Float64Array(samplesOf(4));
  addStrike(x, bellOf(makeRandom(seed + 50)), AT);
  more(x, rmsOf(x, AT, AT + 2000));
  return withNoise(x, AT, 50, seed)[0];
}

/** A gate that is shut between these times, s: it opens within 1 ms and shuts by `closeS`, to 40 dB down. */
function gated(channel: Float32Array, shut: [number, number][], closeS: number): Float32Array[] {
  const out = channel.slice();
  let gain = 1;
  for (let n = 0; n < out.length; n++) {
    const t = n / RATE_HZ;
    const wanted = shut.some(([from, to]) => t >= from && t < to) ? 0.01 : 1;
    gain += ((wanted - gain) / RATE_HZ) * (1 / (wanted > gain ? 0.001 : closeS));
    out[n] *= gain;
  }
  return [out];
}

const TURNS: [number, number][] = [
  [1.5, 1.7],
  [1.85, 2],
  [2.4, 2.9],
  [3.1, 9],
];

describe("a gate that opens and shuts by turns", () => {
  it.each([0.01, 0.03, 0.08])(
    "findStrikes() finds one strike that ends where the gate first shuts, within %f s, and neither rattle nor bounce",
    (closeS) => {
      for (const seed of SEEDS) {
        const { strikes } = findStrikes(gated(bell(seed), TURNS, closeS), RATE_HZ);
        expect(strikes, `seed ${seed}`).toHaveLength(1);
        expect(strikes[0]).toMatchObject({ endedBy: "cut off", rattle: false });
        expect(strikes[0].contactSamples).toHaveLength(1);
        expect(strikes[0].endSample).toBeLessThanOrEqual(samplesOf(1.5));
        expect(strikes[0].endSample).toBeGreaterThan(samplesOf(1.3));
      }
    },
  );

  it("findStrikes() ends the ring where a gate first flutters, and takes that for no rattle", () => {
    for (const seed of SEEDS) {
      const flutter = Array.from({ length: 9 }, (_, i): [number, number] => [
        1.1 + 0.05 * i,
        1.115 + 0.05 * i,
      ]);
      const channels = gated(bell(seed), [...flutter, [1.6, 9]], 0.01);
      const { strikes } = findStrikes(channels, RATE_HZ);
      expect(strikes, `seed ${seed}`).toHaveLength(1);
      expect(strikes[0]).toMatchObject({ endedBy: "cut off", rattle: false });
      expect(strikes[0].endSample).toBeLessThanOrEqual(samplesOf(1.115));
      expect(strikes[0].endSample).toBeGreaterThan(samplesOf(0.9));
    }
  });

  it("findStrikes() still finds a second strike after a gate has shut", () => {
    for (const seed of SEEDS) {
      const twice = bell(seed, (x) => addStrike(x, bellOf(makeRandom(seed + 50)), samplesOf(2.5), 0.5));
      const { strikes } = findStrikes(gated(twice, [[1.8, 2.5]], 0.03), RATE_HZ);
      expect(strikes, `seed ${seed}`).toHaveLength(2);
      expect(strikes[0].endedBy).toBe("cut off");
      expect(Math.abs(strikes[1].onsetSample - samplesOf(2.5))).toBeLessThan(samplesOf(0.01));
    }
  });

  it("findStrikes() does not take the end of a rattle, or a bell stopped by a hand and struck again, for a gate", () => {
    for (const seed of SEEDS) {
      const random = makeRandom(seed);
      const rattling = bell(seed, (x, loudness) => {
        for (let t = AT_S + 0.05; t < 1.5; t += random.between(0.03, 0.09))
          addClick(x, samplesOf(t), 0.3 * loudness, random);
      });
      const [rattle] = findStrikes([rattling], RATE_HZ).strikes;
      expect(rattle.rattle, `seed ${seed}`).toBe(true);
      expect(rattle.endedBy).not.toBe("cut off");
      const x = new Float64Array(samplesOf(4));
      addStrike(x, bellOf(makeRandom(seed + 50)), AT);
      for (let n = samplesOf(1.5); n < x.length; n++)
        x[n] *= 10 ** (-Math.min(60, 300 * (n / RATE_HZ - 1.5)) / 20);
      addStrike(x, bellOf(makeRandom(seed + 50)), samplesOf(2.5));
      const { strikes } = findStrikes(withNoise(x, AT, 50, seed), RATE_HZ);
      expect(strikes, `seed ${seed}`).toHaveLength(2);
      expect(strikes[0].endedBy).not.toBe("cut off");
    }
  });
});

describe("a blow out of digital silence", () => {
  it("findStrikes() finds one contact", () => {
    for (const seed of SEEDS) {
      const channel = bell(seed).fill(0, 0, AT);
      const [strike] = findStrikes([channel], RATE_HZ).strikes;
      expect(strike.contactSamples, `seed ${seed}`).toHaveLength(1);
      expect(Math.abs(strike.onsetSample - AT)).toBeLessThan(samplesOf(0.01));
    }
  });
});
