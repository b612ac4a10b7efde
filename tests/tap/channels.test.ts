import { describe, expect, it } from "vitest";
import { channelStatistics, samplesOf } from "../../src/audio/index.ts";
import { chooseChannels, withoutOffsets } from "../../src/tap/channels.ts";
import { makeRandom } from "../support/synthetic/index.ts";

const COUNT = 4000;

function noise(seed: number, gain: number, offset = 0): Float32Array {
  const random = makeRandom(seed);
  return Float32Array.from({ length: COUNT }, () => offset + gain * random.normal());
}

function choose(...channels: Float32Array[]) {
  const samples = samplesOf(channels);
  const { channels: chosen, use, dcOffset } = chooseChannels(samples, channelStatistics(samples));
  return { channels: withoutOffsets(samples, chosen).read(0, samples.sampleCount), use, dcOffset };
}

describe("chooseChannels", () => {
  it("chooseChannels keeps one channel of a recording that is silent in all of them", () => {
    const chosen = choose(new Float32Array(COUNT), new Float32Array(COUNT));
    expect(chosen.channels).toHaveLength(1);
    expect(chosen.dcOffset).toBe(0);
  });

  it("chooseChannels takes a constant channel for a silent one", () => {
    const x = noise(1, 0.1);
    const chosen = choose(new Float32Array(COUNT).fill(0.5), x);
    expect(chosen.channels).toHaveLength(1);
    expect(chosen.use).toBe("channel 2 of 2; the others are copies of it or silent");
    expect(chosen.dcOffset).toBe(0.5);
  });

  it("chooseChannels accepts a single sample", () => {
    const chosen = choose(Float32Array.of(0.25));
    expect([...chosen.channels[0]].every(Number.isFinite)).toBe(true);
  });

  it("chooseChannels leaves out a silent channel", () => {
    const x = noise(1, 0.1);
    const chosen = choose(x, new Float32Array(COUNT));
    expect(chosen.channels).toHaveLength(1);
    expect(chosen.use).toBe("channel 1 of 2; the others are copies of it or silent");
  });

  it("chooseChannels takes two equal channels for one microphone", () => {
    const x = noise(1, 0.1);
    expect(choose(x, x.slice()).channels).toHaveLength(1);
  });

  it("chooseChannels takes a copy at another gain or polarity for the same microphone", () => {
    const x = noise(1, 0.1);
    for (const gain of [0.5, -1, -0.25]) {
      const chosen = choose(
        x,
        x.map((v) => gain * v),
      );
      expect(chosen.channels).toHaveLength(1);
      expect(chosen.use).toBe("channel 1 of 2; the others are copies of it or silent");
    }
  });

  it("chooseChannels keeps two channels that share a sound but not their noise", () => {
    const x = noise(1, 0.1);
    const own = noise(2, 0.001);
    const other = x.map((v, i) => v + own[i]);
    expect(choose(x, other).channels).toHaveLength(2);
  });

  it("chooseChannels removes each channel's own offset and reports the largest, with its sign", () => {
    const chosen = choose(noise(1, 0.01, 0.1), noise(2, 0.01, -0.2));
    for (const x of chosen.channels) {
      // Samples of single precision near 0.2 are rounded to 2^-26 at worst, and so is their mean.
      const mean = x.reduce((s, v) => s + v, 0) / COUNT;
      expect(Math.abs(mean)).toBeLessThan(2 ** -26);
    }
    // The mean of 4000 normal deviates of 0.01 lies within four standard errors.
    expect(Math.abs(chosen.dcOffset + 0.2)).toBeLessThan((4 * 0.01) / Math.sqrt(COUNT));
  });

  it("chooseChannels does not write into the recording", () => {
    const x = noise(1, 0.01, 0.1);
    const before = x.slice();
    choose(x);
    expect(x).toEqual(before);
  });

  it("chooseChannels takes the two loudest of eight, in the order of the recording", () => {
    const channels = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) =>
      noise(seed, seed === 3 || seed === 7 ? 0.2 : 0.05),
    );
    const chosen = choose(...channels);
    expect(chosen.use).toBe("channels 3 and 7 of 8, fitted jointly");
    expect(chosen.channels).toHaveLength(2);
  });

  it("chooseChannels passes over copies of the loudest to the next microphone", () => {
    const x = noise(1, 0.2);
    expect(choose(x, x.slice(), noise(2, 0.1)).use).toBe("channels 1 and 3 of 3, fitted jointly");
  });

  it("chooseChannels says one channel of a mono recording and both of a stereo one", () => {
    expect(choose(noise(1, 0.1)).use).toBe("one channel");
    expect(choose(noise(1, 0.1), noise(2, 0.1)).use).toBe("channels 1 and 2, fitted jointly");
  });
});
