import { describe, expect, test } from "vitest";
import { lossTrend } from "../../../src/compare/findings/damping.ts";
import { compareCastings } from "../../../src/compare/index.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { bellLike, casting, inOtherAlloy } from "../support/sample-castings.ts";
import { judged } from "./judged.ts";

describe("lossTrend(pairs)", () => {
  test("lossTrend(pairs) of too few pairs is null", () => {
    const { pairs } = compareCastings([casting(soundBell()), casting(soundBell())]);
    expect(lossTrend([])).toBeNull();
    expect(lossTrend(pairs.slice(0, 3))).toBeNull();
    expect(lossTrend([pairs[0], pairs[0], pairs[0], pairs[0]])).toBeNull();
  });

  test("lossTrend(pairs) is the slope of the logarithm against the octave", () => {
    // Loss that grows by a factor 1.3 an octave in B alone.
    const b = bellLike((spec) => ({
      ...spec,
      lossFactor: spec.lossFactor * 1.3 ** Math.log2(spec.frequencyHz / 500),
    }));
    const { pairs } = compareCastings([casting(soundBell()), casting(b)]);
    const trend = lossTrend(pairs)!;
    expect(trend.perOctave.value).toBeCloseTo(1.3, 2);
    expect(trend).toMatchObject({ rises: true, falls: false });
  });
});

describe("damping", () => {
  test("damping of a common change says that it does not depend on frequency", () => {
    const { text } = judged("damping", soundBell(), inOtherAlloy(1, 0.5));
    expect(text).toMatch(/the loss factor \(1\/Q\) of B is 0\.500\d* ± 0\.\d+ of that of A/);
    expect(text).toContain("does not change with frequency beyond its interval");
  });

  test("damping that changes with frequency is more than the metal's friction", () => {
    const b = bellLike((spec) => ({ ...spec, lossFactor: (spec.lossFactor * spec.frequencyHz) / 1000 }));
    expect(judged("damping", soundBell(), b).text).toMatch(
      /rises with frequency, by 2\.0\d* ± .* friction alone does not explain/,
    );
    expect(judged("damping", b, soundBell()).text).toContain("falls with frequency");
  });
});
