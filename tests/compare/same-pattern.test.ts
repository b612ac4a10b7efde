import { describe, expect, test } from "vitest";
import { compareCastings } from "../../src/compare/index.ts";
import { largestAlloyShiftCents } from "../../src/compare/material.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { emptyMeasurement, soundBell } from "../support/sample-measurement.ts";
import { estimate } from "../support/sample-parts.ts";
import { churchBell, clockBell, smallHandbell } from "./support/published-bells.ts";
import { bellLike, casting, inOtherAlloy } from "./support/sample-castings.ts";

const judge = (a: TapMeasurement, b: TapMeasurement) => compareCastings([casting(a), casting(b)]).samePattern;

describe("samePattern(a, b, pairs, common)", () => {
  test("samePattern of castings with nothing in them is unclear", () => {
    expect(judge(emptyMeasurement(), soundBell()).outcome).toBe("unclear");
    expect(judge(emptyMeasurement(), emptyMeasurement()).outcome).toBe("unclear");
  });

  test("samePattern of a bell with itself, and of the pattern in another alloy, is the same", () => {
    expect(judge(soundBell(), soundBell()).outcome).toBe("same");
    expect(judge(soundBell(), inOtherAlloy(1.022, 0.5)).outcome).toBe("same");
    expect(judge(soundBell(), inOtherAlloy(0.9, 2)).outcome).toBe("same");
  });

  test("samePattern holds where one partial moved and a weak one is missing", () => {
    const other = bellLike((spec) =>
      spec.name === "quint"
        ? null
        : spec.name === "tierce"
          ? { ...spec, frequencyHz: spec.frequencyHz * 1.02 }
          : spec,
    );
    expect(judge(soundBell(), other).outcome).toBe("same");
  });

  test("samePattern of different published bells is different, said with its count", () => {
    for (const [a, b] of [
      [churchBell(), clockBell()],
      [churchBell(), smallHandbell()],
      [clockBell(), smallHandbell()],
    ]) {
      const { outcome, text } = judge(a, b);
      expect(outcome, text).toBe("different");
      expect(text).toMatch(/not castings of the same pattern.*Of the \d+ strong partials/);
    }
  });

  test("samePattern of one shape in two sizes is different, unless the diameters explain it", () => {
    const small = churchBell(1.5);
    const apart = judge(churchBell(), small);
    expect(apart.outcome).toBe("different");
    expect(apart.text).toContain("two sizes of one shape");
    const sized = compareCastings([
      casting(churchBell(), { diameterM: estimate(0.9, 0.001) }),
      casting(small, { diameterM: estimate(0.6, 0.001) }),
    ]);
    expect(sized.samePattern.outcome).toBe("same");
  });

  test("samePattern of too few partials is unclear", () => {
    const few = bellLike((spec, i) => (i < 3 ? spec : null));
    expect(judge(few, few).outcome).toBe("unclear");
  });
});

describe("largestAlloyShiftCents()", () => {
  test("largestAlloyShiftCents() is what the data sheets span, and 5 % for what they are off", () => {
    // Fastest and slowest of the sheets (CDA sheets and AZoM article 6470, read): E and density of C95500 and C83600.
    const speed = (gigapascal: number, density: number) => Math.sqrt((gigapascal * 1e9) / density);
    const span = 1200 * Math.log2((speed(110.3, 7529) / speed(83, 8830)) * 1.05);
    expect(largestAlloyShiftCents()).toBeCloseTo(span, 6);
  });
});
