import { describe, expect, it } from "vitest";
import { detect, detectionThreshold } from "../../src/partials/detect.ts";
import { misfitReach } from "../../src/partials/grow.ts";
import { updateResidual } from "../../src/partials/residual.ts";
import { newSearch, type Search } from "../../src/partials/search.ts";
import {
  DETECTION_RATE_HZ as RATE_HZ,
  DETECTION_SD as SD,
  detectionSearch as searchOf,
} from "./detections.ts";
import { lineOf } from "./lines.ts";

/** A line with matched-filter SNR rho has the amplitude sqrt(8 alpha S rho / fs). */
const amplitudeOf = (rho: number, alpha: number) => Math.sqrt((8 * alpha * SD ** 2 * rho) / RATE_HZ);

/** One complex value in bin `k` of every channel, zero elsewhere: [bin, real part, imaginary part]. */
type Spike = [number, number, number];

/** Transforms that hold these spikes alone, a hertz a bin in the first, a bin of 2 Hz in the second, if there are two. */
function spikes(steps: Spike[][], channels = 1): Search {
  const ladder = steps.map((list, l) => {
    const size = 8192 >> l;
    const part = (value: (s: Spike) => number) =>
      Array.from({ length: channels }, () => {
        const x = new Float64Array(size / 2 + 1);
        for (const spike of list) x[spike[0]] = value(spike);
        return x;
      });
    return { size, re: part(([, re]) => re), im: part(([, , im]) => im) };
  });
  // Before 100 Hz at 1, rising by straight lines to 2 at 1000 Hz and 5 at 3000 Hz, and so to the end.
  const noise = { centresHz: Float64Array.of(100, 1000, 3000), variance: Float64Array.of(1, 2, 5) };
  const search = newSearch(
    8192,
    ladder,
    Array.from({ length: channels }, () => noise),
    0,
    0,
  );
  updateResidual(search, false);
  return search;
}

/** A spike that lies, under the Hann window, `power` over a noise of `variance` in 8192 samples. */
const spikeOf = (k: number, power: number, variance: number, size = 8192): Spike => {
  // Half of it stays in its bin; the noise is 3/8 of what it was.
  const x = 2 * Math.sqrt(power * 0.375 * size * variance);
  return [k, 0.6 * x, -0.8 * x];
};

describe("detect, bin by bin", () => {
  it("detect has the power of a bin over the noise there, interpolated between the noise's centres", () => {
    const at: [number, number][] = [
      [50, 1],
      [100, 1],
      [325, 1.25],
      [1000, 2],
      [2000, 3.5],
      [3000, 5],
      [3700, 5],
    ];
    const found = detect(spikes([at.map(([k, variance], i) => spikeOf(k, 1000 + i, variance))]), 0);
    expect(found.map(({ frequencyHz, level }) => [frequencyHz, level])).toEqual(
      at.map(([k]) => [k, 0]).reverse(),
    );
    found.forEach(({ power }, i) => {
      expect(power).toBeCloseTo(1006 - i, 9);
    });
  });

  it("detect has what the Hann window makes of a bin and its neighbours", () => {
    // Half of it less a quarter of either: real and imaginary part each with neighbours of their own.
    const search = spikes([
      [
        [1999, -300, 100],
        [2000, 1000, -800],
        [2001, -500, 400],
      ],
    ]);
    const [re, im] = [0.5 * 1000 + 0.25 * 800, 0.5 * -800 - 0.25 * 500];
    const [{ frequencyHz, power }] = detect(search, 0);
    expect(frequencyHz).toBe(2000);
    expect(power).toBeCloseTo((re ** 2 + im ** 2) / (0.375 * 8192 * 3.5), 9);
  });

  it("detect adds the channels up", () => {
    const [{ power }] = detect(spikes([[spikeOf(2000, 1000, 3.5)]], 3), 0);
    expect(power).toBeCloseTo(3000, 9);
  });

  it("detect searches the plain bins too from the third pass on", () => {
    const search = spikes([[spikeOf(2000, 600, 3.5)]]);
    for (const pass of [0, 1]) expect(detect(search, pass)[0].power).toBeCloseTo(600, 9);
    // The window leaves a quarter of its power to a bin and three eighths to the noise.
    expect(detect(search, 2).map(({ power }) => power)).toEqual([expect.closeTo(900, 9)]);
  });

  it("detect looks from 30 Hz to 0.48 of the sample rate, and no nearer to the ends than three bins", () => {
    const found = (k: number) => detect(spikes([[spikeOf(k, 1000, k < 100 ? 1 : 5)]]), 0).length;
    // 0.48 of 8192 bins are 3932.
    expect([28, 30, 3931, 3932].map(found)).toEqual([0, 1, 1, 0]);
    const low = spikes([[spikeOf(2, 1000, 1)]]);
    low.sampleRateHz = 8192 * 20;
    expect(detect(low, 0)).toEqual([]);
  });

  it("detect takes what is over the threshold and the largest of five bins", () => {
    const threshold = detectionThreshold(spikes([[]]));
    const found = (factor: number) => detect(spikes([[spikeOf(2000, factor * threshold, 3.5)]]), 0).length;
    expect([0.999, 1.001].map(found)).toEqual([0, 1]);
    // A bin between two as large: the three next to each other make one top, at their middle.
    const top = detect(spikes([[spikeOf(500, 1000, 1.44444), [501, 1, 1], spikeOf(502, 900, 1.44444)]]), 0);
    expect(top.length).toBe(1);
  });

  it.each([-2, -1, 1, 2])("detect takes no bin that has a larger one %d beside it", (aside) => {
    // At the edge of what is searched, so that the larger one, outside, is no top that would shut out the other.
    const found = (power: number) =>
      detect(spikes([[spikeOf(30, 1000, 1), spikeOf(30 + aside, power, 1)]]), 0);
    expect(found(4000).some(({ frequencyHz }) => frequencyHz === 30)).toBe(false);
    expect(found(1).some(({ frequencyHz }) => frequencyHz === 30)).toBe(true);
  });

  it("detect sees what stands out in any step of the ladder, the strongest first", () => {
    const found = detect(spikes([[spikeOf(700, 300, 5 / 3)], [spikeOf(1000, 500, 3.5, 4096)]]), 0);
    expect(found.map(({ frequencyHz, level, power }) => [frequencyHz, level, Math.round(power)])).toEqual([
      [2000, 1, 500],
      [700, 0, 300],
    ]);
  });

  it("detect takes a weaker top that lies five bins off and stands over the cube of the stronger one's skirt", () => {
    // Width 2.5 bins of the shorter transform: of 1e4 at a distance of d bins a skirt of 3e4 (2.5 / d)^3.
    const count = (distance: number, share: number) =>
      detect(
        spikes([
          [
            spikeOf(2000, 1e4, 3.5),
            spikeOf(2000 - distance, share * 3e4 * (2.5 / distance) ** 3, 3.5 - 0.0015 * distance),
          ],
        ]),
        0,
      ).length;
    expect([count(4, 1.3), count(5, 1.01), count(5, 0.99), count(12, 1.01), count(12, 0.99)]).toEqual([
      1, 2, 1, 2, 1,
    ]);
    // Seen in a transform of half the length the same distance is half as many bins.
    const across = (distance: number, share: number) =>
      detect(
        spikes([
          [spikeOf(2000 + distance, share * 3e4 * (5 / distance) ** 3, 3.5 + 0.0015 * distance)],
          [spikeOf(1000, 1e4, 3.5, 4096)],
        ]),
        0,
      ).length;
    expect([across(9, 1.3), across(10, 1.01), across(10, 0.99)]).toEqual([1, 2, 1]);
  });

  it("detect takes the sixteen strongest at a time", () => {
    const list = Array.from({ length: 20 }, (_, i) => spikeOf(3010 + 40 * i, 1000 + i, 5));
    expect(detect(spikes([list]), 0).map(({ frequencyHz }) => frequencyHz)).toEqual(
      list
        .slice(4)
        .map(([k]) => k)
        .reverse(),
    );
  });

  it("detect asks more where a known part of what was there before is noise too", () => {
    const search = spikes([[spikeOf(2000, 1e5, 3.5)], [spikeOf(500, 1e5, 2, 4096)]], 2);
    const omegas: number[] = [];
    search.departure = (omega) => {
      omegas.push(omega);
      return 1e-3;
    };
    const threshold = detectionThreshold(search);
    // Before the lines were taken off both channels had 1e5 there.
    const needed = threshold * (1 + 1e-3 * 2e5);
    const left = (level: number, share: number) => {
      for (const [l, { re, im }] of search.residual.entries()) {
        for (const [c, x] of re.entries()) {
          x.fill(0);
          im[c].fill(0);
          const [k, variance, size] = l === 0 ? [2000, 3.5, 8192] : [500, 2, 4096];
          if (l === level) x[k] = 2 * Math.sqrt((share * needed * 0.375 * size * variance) / 2);
        }
      }
      return detect(search, 0).length;
    };
    expect([left(0, 0.99), left(0, 1.01), left(1, 0.99), left(1, 1.01)]).toEqual([0, 1, 0, 1]);
    expect(new Set(omegas)).toEqual(new Set([4000 * Math.PI, 2000 * Math.PI]));
  });

  it("detect asks more around a line that misfits, falling with the fourth power of the distance", () => {
    const search = spikes([[]]);
    search.misfit = 0.01;
    search.lines = [
      lineOf({ frequencyHz: 1800, alpha: 3, rho: 1e4, misfitting: true }),
      lineOf({ frequencyHz: 2000, alpha: 3, rho: 1e9, misfitting: false }),
    ];
    const threshold = detectionThreshold(search);
    const distance = (2 * Math.PI * 10) / misfitReach(3, 2 * Math.PI * 1800);
    const found = (k: number, power: number) => {
      const [re] = search.residual[0].re;
      re.fill(0);
      re[k] = spikeOf(k, power, 2 + (3 * (k - 1000)) / 2000)[1] / 0.6;
      return detect(search, 0).length;
    };
    const needed = threshold + (0.01 * 1e4) / (1 + distance ** 4);
    for (const k of [1790, 1810]) expect([found(k, 0.99 * needed), found(k, 1.01 * needed)]).toEqual([0, 1]);
    expect([found(1800, 0.99 * (threshold + 100)), found(1800, 1.01 * (threshold + 100))]).toEqual([0, 1]);
    search.misfit = 0;
    expect(found(1800, 1.01 * threshold)).toBe(1);
  });
});

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

  it("detect(a line whose band closes) looks in the transforms that end before, however loud it is in the longer", () => {
    const search = searchOf(7, 1, [{ frequencyHz: 2000, alpha: 0.1, amplitude: amplitudeOf(1e5, 0.1) }]);
    expect(detect(search, 0)[0].level).toBe(0);
    const shortestS = search.ladder.at(-1)!.size / RATE_HZ;
    for (const openS of [0.4, 0]) {
      search.passing = { noise: search.noise[0], openS: () => openS };
      const found = detect(search, 0);
      expect(found.length).toBeGreaterThan(0);
      for (const { level } of found)
        expect(search.ladder[level].size / RATE_HZ).toBeLessThanOrEqual(Math.max(openS, shortestS));
    }
  });
});
