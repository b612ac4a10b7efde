import { describe, expect, it } from "vitest";
import { findStrikes } from "../../src/strike/index.ts";
import { makeRandom, type TrueMode } from "../support/synthetic/index.ts";
import {
  addBackground,
  addClick,
  addStrike,
  bellOf,
  RATE_HZ,
  rmsOf,
  samplesOf,
  withNoise,
} from "./support.ts";

describe("what must not count as a strike", () => {
  it("findStrikes() finds none in 100 recordings of noise, of mains hum, and of both", () => {
    const found: number[] = [];
    for (let seed = 0; seed < 100; seed++) {
      const random = makeRandom(seed);
      const x = new Float64Array(samplesOf(1.5));
      if (seed % 3 !== 2) addBackground(x, 10 ** -(1 + (seed % 4)), seed);
      if (seed % 3 !== 0) {
        for (let order = 1; order < 8; order++) {
          const amplitude = (0.1 * random.uniform()) / order;
          const phase = random.between(0, 2 * Math.PI);
          const step = (2 * Math.PI * (seed % 2 ? 50 : 60) * order) / RATE_HZ;
          for (let n = 0; n < x.length; n++) x[n] += amplitude * Math.sin(step * n + phase);
        }
      }
      if (findStrikes([Float32Array.from(x)], RATE_HZ).strikes.length > 0) found.push(seed);
    }
    expect(found).toEqual([]);
  });

  it.each([0.2, 0.5, 1, 2, 5])(
    "findStrikes() finds one strike, one contact and no rattle in bells that beat at %f Hz, 40 dB deep",
    (beatHz) => {
      for (let seed = 0; seed < 6; seed++) {
        const random = makeRandom(seed + 20);
        const twin = (mode: TrueMode): TrueMode => ({
          ...mode,
          frequencyHz: mode.frequencyHz + beatHz * random.between(0.8, 1.2),
          amplitude: mode.amplitude.map((a) => 0.98 * a),
          phaseRad: mode.phaseRad.map(() => random.between(0, 2 * Math.PI)),
        });
        // From a lone beating partial to the whole bell.
        const modes = bellOf(random).slice(0, [1, 3, 20][seed % 3]);
        const at = samplesOf(0.4);
        const x = new Float64Array(samplesOf(5));
        addStrike(x, modes, at);
        addStrike(x, modes.map(twin), at);
        const { strikes } = findStrikes(withNoise(x, at, 30 + 5 * seed, seed), RATE_HZ);
        expect(strikes, `seed ${seed}`).toHaveLength(1);
        expect(strikes[0].contactSamples, `seed ${seed}`).toHaveLength(1);
        expect(strikes[0].rattle).toBe(false);
        expect(strikes[0].endedBy).not.toBe("hand damping");
      }
    },
  );

  it.each([0, 0.5])(
    "findStrikes() takes a click 20 dB under the strike in the ring, in a room of %f s, for no strike",
    (roomS) => {
      for (let seed = 0; seed < 6; seed++) {
        const random = makeRandom(seed + 60);
        const at = samplesOf(0.4);
        const x = new Float64Array(samplesOf(3.5));
        addStrike(x, bellOf(random), at);
        const click = samplesOf(random.between(1, 2.5));
        const height = 0.1 * rmsOf(x, at, at + samplesOf(0.05));
        addClick(x, click, height, random);
        const room = roomS * RATE_HZ;
        for (let n = 0; n < room; n++)
          x[click + n] += 0.1 * height * random.normal() * 10 ** ((-3 * n) / room);
        const { strikes } = findStrikes(withNoise(x, at, 45, seed), RATE_HZ);
        expect(strikes, `seed ${seed}`).toHaveLength(1);
      }
    },
  );
});
