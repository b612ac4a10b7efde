import { describe, expect, test } from "vitest";
import { deviationsChart, shiftChart } from "../../../../src/report/compare/charts/cents.ts";
import { nothingInCommon, singleStrikes, twoAlloys, viewOf } from "../compared.ts";

describe("shiftChart(view)", () => {
  test("shiftChart(view) without pairs is null", () => {
    expect(shiftChart(viewOf(nothingInCommon()))).toBeNull();
  });

  test("shiftChart(view) has a row for each pair, the lowest on top, and the common shift as a line across", () => {
    const view = viewOf(twoAlloys());
    const { points, ruleX, x, y } = shiftChart(view)!;
    expect(ruleX).toBe(view.two.common!.cents.value);
    expect(points.map((point) => point.x)).toEqual(view.two.pairs.map(({ cents }) => cents.value));
    expect(points[0].y).toBe(points.length - 1);
    expect(y.ticks!.at(-1)!.text).toBe("hum");
    // The axis lies about the shift, and no interval leaves it.
    expect(x.min).toBeLessThan(ruleX!);
    expect(x.max).toBeGreaterThan(ruleX!);
    for (const point of points) {
      expect(point.x - point.ci95X!).toBeGreaterThanOrEqual(x.min);
      expect(point.x + point.ci95X!).toBeLessThanOrEqual(x.max);
    }
  });

  test("shiftChart(view) never stretches what is not heard over the page", () => {
    const { x } = shiftChart(viewOf(singleStrikes()))!;
    expect(x.max - x.min).toBeGreaterThanOrEqual(10);
  });
});

describe("deviationsChart(view)", () => {
  test("deviationsChart(view) gives both castings' deviations side by side about the ideal", () => {
    const view = viewOf(twoAlloys());
    const { points, ruleX } = deviationsChart(view)!;
    const rated = view.two.pairs.filter(({ a }) => a.deviationCents !== null);
    expect(ruleX).toBe(0);
    expect(points).toHaveLength(2 * rated.length);
    expect(points.map(({ look }) => look).slice(0, 2)).toEqual(["first", "second"]);
    expect(points[0].y).toBeGreaterThan(points[1].y);
  });
});
