import { describe, expect, test } from "vitest";
import { deviationChart, deviationLimit } from "../../../../src/report/tap/charts/deviation.ts";
import { emptyMeasurement, noisyRecording, soundBell } from "../../../support/sample-measurement.ts";
import { estimate } from "../../../support/sample-parts.ts";

describe("deviationChart", () => {
  test("deviationChart(m) is null where no partial has an ideal", () => {
    expect(deviationChart(noisyRecording())).toBeNull();
    expect(deviationChart(emptyMeasurement())).toBeNull();
  });

  test("deviationChart(m) has a row for each partial with an ideal, the lowest on top, intervals inside the axis", () => {
    const bell = soundBell();
    bell.partials[2]!.deviationCents = estimate(-180, 40);
    const { points, x, y } = deviationChart(bell)!;
    expect(deviationLimit(bell)).toBeGreaterThanOrEqual(220);
    expect(points.map(({ mark }) => mark)).toEqual([0, 1, 2, 3, 4, 6, 7]);
    expect(points[0]!.y).toBeGreaterThan(points[1]!.y);
    for (const point of points) {
      expect(Math.abs(point.x) + point.ci95X!).toBeLessThanOrEqual(x.max);
      expect(y.ticks!.some(({ at }) => at === point.y)).toBe(true);
    }
  });
});
