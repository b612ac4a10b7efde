import { describe, expect, test } from "vitest";
import { aWeightingDb, levelsDba } from "../../src/bell/a-weighting.ts";

/** IEC 61672-1, table of A-weightings from 10 Hz to 20 kHz in one-third octaves (from memory). */
const TABLE_DB = [
  ...[-70.4, -63.4, -56.7, -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1],
  ...[-13.4, -10.9, -8.6, -6.6, -4.8, -3.2, -1.9, -0.8, 0, 0.6, 1.0, 1.2, 1.3, 1.2, 1.0, 0.5],
  ...[-0.1, -1.1, -2.5, -4.3, -6.6, -9.3],
];

describe("aWeightingDb(frequencyHz)", () => {
  test("aWeightingDb() is exactly 0 at 1 kHz", () => {
    expect(aWeightingDb(1000)).toBe(0);
  });

  test("aWeightingDb() is within the rounding of the table at all 34 bands", () => {
    expect(TABLE_DB).toHaveLength(34);
    TABLE_DB.forEach((table, i) => {
      // Bands at exact base-ten frequencies (ISO 266); the table is rounded to 0.1 dB, its own constants to 0.01.
      expect(Math.abs(aWeightingDb(10 ** (1 + i / 10)) - table)).toBeLessThan(0.06);
    });
  });
});

describe("levelsDba(partials)", () => {
  const partial = (hertz: number, db: number) => ({ frequencyHz: { value: hertz }, levelDb: { value: db } });

  test("levelsDba([]) is []", () => {
    expect(levelsDba([])).toEqual([]);
  });

  test("levelsDba() is 0 for the A-weighted strongest, which need not be the strongest", () => {
    const [low, high] = levelsDba([partial(100, 0), partial(1000, -5)]);
    expect(high).toBe(0);
    expect(low).toBeCloseTo(-19.1 + 5, 1);
  });

  test("levelsDba() does not depend on the reference of the levels", () => {
    const at = (offset: number) => levelsDba([partial(300, offset), partial(2000, offset - 8)]);
    at(-37).forEach((level, i) => {
      expect(level).toBeCloseTo(at(0)[i], 9);
    });
  });
});
