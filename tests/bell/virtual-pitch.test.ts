import { describe, expect, test } from "vitest";
import {
  criticalBandRate,
  dominance,
  spectralPitches,
  thresholdDb,
  virtualPitches,
} from "../../src/bell/virtual-pitch.ts";

/**
 * Terhardt, Stoll & Seewann, J. Acoust. Soc. Am. 71 (1982) 679-688, steps 1 to 6. Values computed by a separate
 * implementation of the paper's formulas, rounded as they stand; tolerances are half their last digit.
 */
const AT_KHZ = [0.1, 0.2, 0.5, 1, 2, 4];

const CASES = [
  {
    hertz: [400, 600, 800, 1000],
    excess: [45.8, 21.03, 17.64, 15.88],
    weights: [0.9096, 0.7513, 0.6897, 0.6412],
    virtual: [
      [200, 0.859],
      [400, 0.5601],
      [100, 0.4295],
      [66.67, 0.2863],
    ],
  },
  {
    hertz: [200, 400, 480, 600, 800, 1200, 1600],
    excess: [45.09, 15.36, 7.6, 9.82, 16.93, 29.66, 23.28],
    weights: [0.7241, 0.6118, 0.3896, 0.4786, 0.6749, 0.8254, 0.7081],
    virtual: [
      [200, 1.7288],
      [400, 1.1937],
      [100, 0.9449],
      [66.67, 0.5675],
    ],
  },
  {
    hertz: [800, 1200, 1600],
    excess: [55.6, 30.68, 23.31],
    weights: [0.973, 0.8341, 0.7085],
    virtual: [
      [400, 0.6613],
      [800, 0.5871],
      [200, 0.3307],
      [133.33, 0.2204],
    ],
  },
  {
    hertz: [400, 800, 1204.4, 1666.4],
    excess: [52.46, 40.96, 31.31, 26.33],
    weights: [0.9258, 0.9325, 0.8387, 0.7343],
    virtual: [
      [400, 1.3494],
      [200, 0.6747],
      [416.6, 0.459],
      [133.33, 0.4498],
    ],
  },
];

const atDb = (hertz: number[], db: number) => hertz.map((frequencyHz) => ({ frequencyHz, levelDbSpl: db }));

describe("criticalBandRate(kHz), thresholdDb(kHz), dominance(kHz)", () => {
  test("criticalBandRate() has the check values", () => {
    const bark = [0.987, 1.963, 4.736, 8.511, 13.104, 17.259];
    AT_KHZ.forEach((f, i) => {
      expect(Math.abs(criticalBandRate(f) - bark[i])).toBeLessThanOrEqual(0.0005);
    });
  });

  test("thresholdDb() has the check values", () => {
    const db = [22.95, 13.17, 6.28, 3.37, -0.25, -3.39];
    AT_KHZ.forEach((f, i) => {
      expect(Math.abs(thresholdDb(f) - db[i])).toBeLessThanOrEqual(0.005);
    });
  });

  test("dominance() has the check values and is 1 at 700 Hz", () => {
    const weight = [0.4827, 0.7618, 0.9839, 0.9819, 0.8333, 0.5636];
    AT_KHZ.forEach((f, i) => {
      expect(Math.abs(dominance(f) - weight[i])).toBeLessThanOrEqual(0.00005);
    });
    expect(dominance(0.7)).toBe(1);
  });
});

describe("spectralPitches(tones)", () => {
  test("spectralPitches([]) is []", () => {
    expect(spectralPitches([])).toEqual([]);
  });

  test("spectralPitches() leaves out tones above 5 kHz and those below the threshold in quiet", () => {
    expect(spectralPitches(atDb([6000], 60))).toEqual([]);
    expect(spectralPitches(atDb([100], 20))).toEqual([]);
  });

  test("spectralPitches() of one tone of 1000 Hz at 60 dB: excess 56.63 dB, weight 0.9594", () => {
    const [pitch] = spectralPitches(atDb([1000], 60));
    expect(Math.abs(pitch.excessDb - 56.63)).toBeLessThanOrEqual(0.005);
    expect(Math.abs(pitch.weight - 0.9594)).toBeLessThanOrEqual(0.00005);
  });

  test.each(CASES)("spectralPitches($hertz at 60 dB) has the check values", ({ hertz, excess, weights }) => {
    const pitches = spectralPitches(atDb(hertz, 60));
    expect(pitches).toHaveLength(hertz.length);
    pitches.forEach((pitch, i) => {
      expect(Math.abs(pitch.excessDb - excess[i])).toBeLessThanOrEqual(0.0051);
      expect(Math.abs(pitch.weight - weights[i])).toBeLessThanOrEqual(0.000051);
    });
  });
});

describe("virtualPitches(pitches)", () => {
  test("virtualPitches() of none or one pitch is []", () => {
    expect(virtualPitches([])).toEqual([]);
    expect(virtualPitches(spectralPitches(atDb([1000], 60)))).toEqual([]);
  });

  test.each(CASES)("virtualPitches($hertz at 60 dB) has the check values", ({ hertz, virtual }) => {
    const pitches = virtualPitches(spectralPitches(atDb(hertz, 60)));
    virtual.forEach(([frequency, weight], i) => {
      expect(Math.abs(pitches[i].frequencyHz - frequency)).toBeLessThanOrEqual(0.0051);
      expect(Math.abs(pitches[i].weight - weight)).toBeLessThanOrEqual(0.000051);
    });
  });

  test("virtualPitches() come heaviest first, none within 3 % of a heavier one", () => {
    const pitches = virtualPitches(spectralPitches(atDb([523, 764, 900, 1322, 1624, 1990, 2402], 70)));
    expect(pitches.length).toBeGreaterThan(3);
    pitches.forEach(({ frequencyHz, weight }, i) => {
      for (const heavier of pitches.slice(0, i)) {
        expect(heavier.weight).toBeGreaterThanOrEqual(weight);
        expect(Math.abs(frequencyHz / heavier.frequencyHz - 1)).toBeGreaterThan(0.03);
      }
    });
  });
});
