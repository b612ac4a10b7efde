import { describe, expect, it } from "vitest";
import { findStrikes } from "../../src/strike/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { addStrike, bellOf, RATE_HZ, samplesOf, withNoise } from "./support.ts";

interface Struck {
  channels: Float32Array[];
  contacts: number[];
}

/** `count` blows on one bell with gaps of 0.25 to 1.25 s, each up to `spreadDb` softer than the hardest. */
function strikeOften(seed: number, count: number, spreadDb: number, snrDb: number): Struck {
  const random = makeRandom(seed);
  const modes = bellOf(random);
  const x = new Float64Array(samplesOf(1.5 + 1.25 * count));
  const contacts: number[] = [];
  let timeS = 0.3;
  for (let i = 0; i < count; i++) {
    contacts.push(samplesOf(timeS));
    addStrike(x, modes, contacts[i], 10 ** (-random.between(0, spreadDb) / 20));
    timeS += random.between(0.25, 1.25);
  }
  return { channels: withNoise(x, contacts[0], snrDb, seed), contacts };
}

function compare({ channels, contacts }: Struck): { hits: number; extra: number } {
  const { strikes } = findStrikes(channels, RATE_HZ);
  strikes.forEach((strike, i) => {
    expect(strike.contactSamples[0]).toBe(strike.onsetSample);
    expect(strike.ringStartSample).toBeGreaterThan(strike.contactSamples.at(-1)!);
    expect(strike.endSample).toBeGreaterThan(strike.ringStartSample);
    if (i > 0) expect(strike.onsetSample).toBeGreaterThan(strikes[i - 1].endSample);
  });
  const hits = contacts.filter((at) =>
    strikes.some((strike) => Math.abs(strike.onsetSample - at) < samplesOf(0.02)),
  ).length;
  return { hits, extra: strikes.length - hits };
}

describe("several strikes in one recording", () => {
  it.each([
    // spread, SNR, least share found: strikes far softer than a ring only a third of a second old may be missed.
    [0, 40, 0.99],
    [10, 40, 0.97],
    [20, 40, 0.88],
    [10, 15, 0.95],
  ])(
    "findStrikes() of 1 to 12 strikes within %i dB at %i dB over the noise finds a share of %f at least, and no other",
    (spreadDb, snrDb, least) => {
      let total = 0;
      let found = 0;
      for (let count = 1; count <= 12; count++) {
        const { hits, extra } = compare(strikeOften(40 + count, count, spreadDb, snrDb));
        expect(extra, `${count} strikes`).toBe(0);
        total += count;
        found += hits;
      }
      expect(found / total).toBeGreaterThanOrEqual(least);
    },
  );

  it("findStrikes() ends each ring before the next contact", () => {
    const struck = strikeOften(3, 5, 0, 50);
    const { strikes } = findStrikes(struck.channels, RATE_HZ);
    expect(strikes).toHaveLength(5);
    for (let i = 0; i < 4; i++) {
      expect(strikes[i].endedBy).toBe("next strike");
      expect(strikes[i].endSample).toBeLessThan(struck.contacts[i + 1]);
      expect(strikes[i].endSample).toBeGreaterThan(struck.contacts[i + 1] - samplesOf(0.04));
    }
  });

  it("findStrikes() takes the loudest ring of equal length for the best, and not one that clips", () => {
    const modes = bellOf(makeRandom(9));
    const x = new Float64Array(samplesOf(9.5));
    const contacts = [0.5, 3.5, 6.5].map(samplesOf);
    [0.3, 1, 0.5].forEach((gain, i) => {
      // Each ring is stopped before the next blow.
      const ring = x.subarray(0, contacts[i] + samplesOf(2.8));
      addStrike(ring, modes, contacts[i], gain);
    });
    const channels = withNoise(x, contacts[0], 50, 0);
    expect(findStrikes(channels, RATE_HZ).best).toBe(1);
    const clips: [number, number][] = [[contacts[1], contacts[1] + 20]];
    expect(findStrikes(channels, RATE_HZ, clips).best).toBe(2);
  });

  it("findStrikes() takes contacts within 150 ms of each other for one strike, with each of them listed", () => {
    const modes = bellOf(makeRandom(10));
    const x = new Float64Array(samplesOf(3));
    const contacts = [0.5, 0.56, 0.63].map(samplesOf);
    [1, 0.6, 0.4].forEach((gain, i) => {
      addStrike(x, modes, contacts[i], gain);
    });
    const { strikes } = findStrikes(withNoise(x, contacts[0], 50, 0), RATE_HZ);
    expect(strikes).toHaveLength(1);
    expect(strikes[0].contactSamples).toHaveLength(3);
    strikes[0].contactSamples.forEach((sample, i) => {
      expect(Math.abs(sample - contacts[i])).toBeLessThan(samplesOf(0.0005));
    });
  });
});
