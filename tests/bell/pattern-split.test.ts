import { describe, expect, test } from "vitest";
import { canPatternSplit } from "../../src/bell/pattern-split.ts";

describe("canPatternSplit(nodalMeridians, ridges)", () => {
  test("canPatternSplit() is null where m or K is not known", () => {
    expect(canPatternSplit(null, 6)).toBeNull();
    expect(canPatternSplit(4, null)).toBeNull();
    expect(canPatternSplit(null, null)).toBeNull();
  });

  test.each([0, -2, 1.5, Number.NaN, Number.POSITIVE_INFINITY])(
    "canPatternSplit(m, %s ridges) is refused",
    (k) => {
      expect(() => canPatternSplit(2, k)).toThrow(/ridges is .*; it must be a whole number above 0/);
    },
  );

  test.each([-1, 2.5, Number.NaN])("canPatternSplit(%s, K) is refused", (m) => {
    expect(() => canPatternSplit(m, 6)).toThrow(/nodal meridians are .*; they must be a whole number/);
  });

  test("canPatternSplit(0, K) is false: a mode without nodal meridians has no doublet", () => {
    expect(canPatternSplit(0, 6)).toBe(false);
  });

  test("canPatternSplit() agrees with the overlap of the two members with K equal ridges", () => {
    // First-order perturbation: K point masses at 2 pi j / K shift cos(m t) and sin(m t) by the sums of cos^2 and of
    // sin^2, largest difference over all turns |sum exp(2 i m t_j)|: it is 0 unless K divides 2m (Perrin & Charnley).
    for (let m = 1; m <= 12; m++) {
      for (let k = 1; k <= 30; k++) {
        let re = 0;
        let im = 0;
        for (let j = 0; j < k; j++) {
          re += Math.cos((4 * Math.PI * m * j) / k);
          im += Math.sin((4 * Math.PI * m * j) / k);
        }
        expect(canPatternSplit(m, k)).toBe(Math.hypot(re, im) > 1e-6);
      }
    }
  });
});
