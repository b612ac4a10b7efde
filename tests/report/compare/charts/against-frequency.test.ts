import { describe, expect, test } from "vitest";
import {
  decayAgainstFrequency,
  lossAgainstFrequency,
} from "../../../../src/report/compare/charts/against-frequency.ts";
import { nothingInCommon, twoAlloys, viewOf } from "../compared.ts";

describe("decayAgainstFrequency(view)", () => {
  test("decayAgainstFrequency(view) without pairs is null", () => {
    expect(decayAgainstFrequency(viewOf(nothingInCommon()))).toBeNull();
  });

  test("decayAgainstFrequency(view) gives both partials of every pair with an upright interval within the axis", () => {
    const view = viewOf(twoAlloys());
    const { points, lines, y } = decayAgainstFrequency(view)!;
    expect(points).toHaveLength(14);
    const [pair] = view.two.pairs;
    expect(points.slice(0, 2).map((point) => point.y)).toEqual([
      pair.a.decayTimeS.value,
      pair.b.decayTimeS.value,
    ]);
    expect(lines).toHaveLength(14);
    for (const line of lines) {
      expect(line.x[0]).toBe(line.x[1]);
      expect(line.y[0]!).toBeGreaterThan(y.min);
      expect(line.y[1]!).toBeLessThan(y.max);
    }
  });

  test("decayAgainstFrequency(view) stays on a logarithmic axis where an interval reaches below zero", () => {
    const { comparison, measurements } = twoAlloys();
    const wide = { value: 2, ci95: 50 };
    const pairs = comparison.pairs.map((pair) => ({ ...pair, a: { ...pair.a, decayTimeS: wide } }));
    const { y, lines } = decayAgainstFrequency(
      viewOf({ comparison: { ...comparison, pairs }, measurements }),
    )!;
    expect(y.min).toBeGreaterThan(0);
    expect(lines.every((line) => line.y.every((value) => value! > 0))).toBe(true);
  });
});

describe("lossAgainstFrequency(view)", () => {
  test("lossAgainstFrequency(view) gives the loss factors, marks in plain figures", () => {
    const view = viewOf(twoAlloys());
    const { points, y } = lossAgainstFrequency(view)!;
    expect(points[0].y).toBe(view.two.pairs[0].a.lossFactor.value);
    expect(y.ticks!.map(({ text }) => text).join()).not.toContain("e");
  });
});
