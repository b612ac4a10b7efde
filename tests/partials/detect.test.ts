import { describe, expect, it } from "vitest";
import { detect, detectionThreshold } from "../../src/partials/detect.ts";
import { updateResidual } from "../../src/partials/residual.ts";
import { newSearch, type Search } from "../../src/partials/search.ts";
import { fftLadder, noiseOfStretch } from "../../src/spectrum/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";

const RATE_HZ = 16_000;
const SD = 0.01;

/** A search of one second and a half, its noise measured in a stretch of its own. */
function searchOf(
  seed: number,
  channels: number,
  lines: { frequencyHz: number; alpha: number; amplitude: number }[],
): Search {
  const random = makeRandom(seed);
  const white = () => Float64Array.from({ length: 24_576 }, () => SD * random.normal());
  const quiet = white();
  const signals = Array.from({ length: channels }, white);
  for (const { frequencyHz, alpha, amplitude } of lines) {
    for (const x of signals) {
      for (let n = 0; n < x.length; n++) {
        const t = n / RATE_HZ;
        x[n] += amplitude * Math.exp(-alpha * t) * Math.sin(2 * Math.PI * frequencyHz * t);
      }
    }
  }
  const noise = noiseOfStretch(quiet, 0, quiet.length, RATE_HZ, 0);
  const ladder = fftLadder(signals, 0, signals[0].length, 48_000);
  const search = newSearch(
    RATE_HZ,
    ladder,
    signals.map(() => noise),
    0,
    0,
  );
  updateResidual(search, false);
  return search;
}

/** A line with matched-filter SNR rho has the amplitude sqrt(8 alpha S rho / fs). */
const amplitudeOf = (rho: number, alpha: number) => Math.sqrt((8 * alpha * SD ** 2 * rho) / RATE_HZ);

describe("detectionThreshold", () => {
  it("detectionThreshold is the tail of a sum of exponentials that one of all bins passes once in a hundred times", () => {
    for (const channels of [1, 2, 3]) {
      const search = searchOf(1, channels, []);
      const bins = search.ladder.reduce((sum, step) => sum + step.size / 2, 0);
      const t = detectionThreshold(search);
      // Erlang tail: exp(-t) sum t^k/k!. The threshold keeps its largest term alone, which is t/(t - channels + 1) of it at the most.
      let tail = 0;
      let term = Math.exp(-t);
      for (let k = 0; k < channels; k++) {
        tail += term;
        term *= t / (k + 1);
      }
      expect((tail * bins) / 0.01).toBeGreaterThanOrEqual(1 - 1e-6);
      expect((tail * bins) / 0.01).toBeLessThan(t / (t - channels + 1) + 1e-6);
    }
  });
});

describe("detect", () => {
  it.each([
    [1, 100],
    [2, 40],
  ])(
    "detect(noise alone, %d channels) finds something in a few recordings of a hundred at the most",
    (channels, recordings) => {
      let found = 0;
      for (let seed = 0; seed < recordings; seed++) {
        if (detect(searchOf(seed, channels, []), 0).length > 0) found++;
      }
      // One in a hundred by the threshold; the noise is itself measured, to some 5 % at its 20 least sure centres, which raises a tail of
      // exp(-15) by e^(0.75): two or three in a hundred, and three standard deviations of that.
      expect(found).toBeLessThanOrEqual(0.03 * recordings + 3 * Math.sqrt(0.03 * recordings));
    },
  );

  it("detect(lines of 20 dB over what is needed, fast and slow) finds every one, strongest first", () => {
    const lines = [
      { frequencyHz: 500, alpha: 1 },
      { frequencyHz: 1700, alpha: 6 },
      { frequencyHz: 4100, alpha: 25 },
      { frequencyHz: 7000, alpha: 100 },
    ].map((line) => ({ ...line, amplitude: amplitudeOf(2000, line.alpha) }));
    const found = detect(searchOf(3, 1, lines), 0);
    for (const { frequencyHz, alpha } of lines) {
      const near = found.filter((d) => Math.abs(d.frequencyHz - frequencyHz) < Math.max(alpha, 2 / 1.5));
      expect(near.length, `${frequencyHz} Hz`).toBeGreaterThan(0);
    }
    const powers = found.map((d) => d.power);
    expect(powers).toEqual(powers.toSorted((a, b) => b - a));
  });

  it("detect(a fast line) sees it best in a shorter transform than a slow one", () => {
    const levelOf = (alpha: number) => {
      const line = { frequencyHz: 3000, alpha, amplitude: amplitudeOf(2000, alpha) };
      return detect(searchOf(4, 1, [line]), 0)[0].level;
    };
    // Under a Hann window, which shuts out the loud beginning, only a line that rings far beyond the record is best seen in all of it.
    expect(levelOf(0.1)).toBe(0);
    expect(levelOf(60)).toBeGreaterThan(levelOf(6));
  });

  it("detect(one strong line) takes its top, none of its skirts", () => {
    const line = { frequencyHz: 2000.3, alpha: 2, amplitude: amplitudeOf(1e6, 2) };
    const found = detect(searchOf(5, 1, [line]), 0);
    expect(Math.abs(found[0].frequencyHz - 2000.3)).toBeLessThan(0.7);
    // A Hann window's skirt of a decay falls as the square of the distance: what passes for a peak of it is a neighbour for the fit to judge.
    expect(found.length).toBeLessThanOrEqual(2);
  });

  it("detect(a line below 30 Hz or above 0.48 of the sample rate) passes it by", () => {
    const lines = [15, 7800].map((frequencyHz) => ({
      frequencyHz,
      alpha: 2,
      amplitude: amplitudeOf(200, 2),
    }));
    expect(detect(searchOf(6, 1, lines), 0)).toEqual([]);
  });
});
