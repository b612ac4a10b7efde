import { describe, expect, it } from "vitest";
import { samplesOf } from "../../src/audio/index.ts";
import { bandLevels as bandLevelsOf, framesIn } from "../../src/strike/band-levels.ts";
import { makeRandom } from "../support/synthetic/index.ts";

const bandLevels = (channels: Float32Array[], rateHz: number) => bandLevelsOf(samplesOf(channels), rateHz);

describe("bandLevels", () => {
  it("bandLevels() of no channel and of less than a window has no frames", () => {
    expect(bandLevels([], 44100).frames).toBe(0);
    expect(bandLevels([new Float32Array(511)], 44100).frames).toBe(0);
    expect(bandLevels([new Float32Array(512)], 44100).frames).toBe(1);
  });

  it.each([8000, 44100, 96000])(
    "bandLevels() of white noise at %i Hz shows its variance in every band, channels added",
    (rateHz) => {
      const random = makeRandom(1);
      const noise = () => Float32Array.from({ length: rateHz }, () => 0.1 * random.normal());
      const levels = bandLevels([noise(), noise()], rateHz);
      const { frames, bands } = levels;
      const power = levels.rows(0, frames);
      for (let b = 0; b < bands; b++) {
        let mean = 0;
        for (let k = 0; k < frames; k++) mean += power[k * bands + b] / frames;
        // Two channels, about 0.6 independent frames a frame, one bin at least: four standard deviations of the mean.
        expect(Math.abs(mean / 0.02 - 1)).toBeLessThan(4 / Math.sqrt(2 * 0.6 * frames));
      }
    },
  );

  it("bandLevels() keeps a tone out of the bands beyond the main lobe by the side lobes of the Hann window", () => {
    const x = Float32Array.from({ length: 4410 }, (_, n) => Math.sin((2 * Math.PI * 3000 * n) / 44100));
    const levels = bandLevels([x], 44100);
    const { bands } = levels;
    const row = levels.rows(10, 11);
    const top = Math.max(...row);
    // Side lobes fall by 18 dB an octave: at 20 bins off and more they are 80 dB down (Harris, Proc. IEEE 66, 1978).
    expect(row[0]).toBeLessThan(1e-8 * top);
    expect(row[bands - 1]).toBeLessThan(1e-8 * top);
  });

  it("framesIn() counts the frames of a time, one at least", () => {
    const levels = bandLevels([new Float32Array(4410)], 44100);
    expect(framesIn(levels, 0)).toBe(1);
    expect(framesIn(levels, 0.1)).toBe(Math.round(4410 / 192));
  });
});
