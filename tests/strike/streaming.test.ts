import { describe, expect, it } from "vitest";
import { samplesOf as inMemory, type Samples } from "../../src/audio/index.ts";
import { bandLevels } from "../../src/strike/band-levels.ts";
import { searchStrikes } from "../../src/strike/find-strikes.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { addStrike, bellOf, RATE_HZ, samplesOf, withNoise } from "./support.ts";

/** The same samples, never all in memory; notes how many are read at once. */
function piecewise(channels: Float32Array[]): Samples & { most: number } {
  const whole = inMemory(channels);
  return {
    ...whole,
    held: null,
    most: 0,
    read(from, to) {
      this.most = Math.max(this.most, to - from);
      return whole.read(from, to).map((x) => x.slice());
    },
  };
}

/** `count` blows, the first after `firstS`, half a second to a second and a half apart. */
function struckOften(seed: number, count: number, firstS: number, snrDb: number): Float32Array[] {
  const random = makeRandom(seed);
  const modes = bellOf(random);
  const x = new Float64Array(samplesOf(firstS + 1.5 * count + 1));
  let timeS = firstS;
  for (let i = 0; i < count; i++) {
    addStrike(x, modes, samplesOf(timeS), 10 ** (-random.between(0, 12) / 20));
    timeS += random.between(0.5, 1.5);
  }
  return withNoise(x, samplesOf(firstS), snrDb, seed);
}

const CASES: [string, Float32Array[]][] = [
  ["silence", [new Float32Array(samplesOf(2))]],
  ["shorter than a window", [new Float32Array(100).fill(0.5)]],
  ["noise alone", withNoise(new Float64Array(samplesOf(3)).fill(1e-9), 0, 0, 1)],
  ["one strike", struckOften(1, 1, 0.4, 40)],
  ["eight strikes", struckOften(2, 8, 0.4, 50)],
  ["eight strikes in noise", struckOften(3, 8, 0.4, 12)],
  ["begins in a strike", struckOften(4, 4, 0.01, 40)],
  ["two channels", [struckOften(5, 3, 0.4, 40)[0], struckOften(6, 3, 0.4, 40)[0]]],
];

describe("searchStrikes", () => {
  it.each(CASES)(
    "searchStrikes finds the very same in a recording read piece by piece as in one in memory: %s",
    (_, channels) => {
      const count = channels[0].length;
      const sound = channels.map((x) => (x.length === count ? x : x.slice(0, count)));
      const even = Math.min(...sound.map((x) => x.length));
      const equal = sound.map((x) => x.subarray(0, even));
      const whole = inMemory(equal);
      const clips: [number, number][] = [[samplesOf(0.45), samplesOf(0.45) + 20]];
      const expected = searchStrikes(whole, bandLevels(whole, RATE_HZ), clips);
      // Pages of a third of a second, of odd size, and longer than a ring.
      for (const pageFrames of [80, 333, 1000]) {
        const pieces = piecewise(equal);
        expect(searchStrikes(pieces, bandLevels(pieces, RATE_HZ, 0, pageFrames), clips)).toEqual(expected);
      }
    },
  );

  it("searchStrikes reads no more at once of a long recording than of a short one", () => {
    const most = [6, 24].map((strikes) => {
      const sound = piecewise(struckOften(7, strikes, 0.4, 40));
      expect(searchStrikes(sound, bandLevels(sound, RATE_HZ, 0, 80)).strikes.length).toBeGreaterThan(
        strikes / 2,
      );
      return sound.most;
    });
    // A chunk of the search for rises is the most: 2048 frames and those it looks ahead.
    const frameSamples = 192;
    for (const each of most) expect(each).toBeLessThan(2200 * frameSamples);
    expect(most[1]).toBeLessThan(1.01 * Math.max(most[0], 2100 * frameSamples));
  });
});
