import { describe, expect, it } from "vitest";
import { endLabels, historyChart, historyLegend } from "../../../src/report/series/history-chart.ts";
import { sampleSeries } from "./sample-series.ts";

describe("historyChart", () => {
  it("historyChart of fewer than two measured passes is none", () => {
    const [bell] = sampleSeries(2).bells;
    expect(historyChart({ ...bell!, passes: bell!.passes.slice(0, 1) }, 0)).toBeNull();
    expect(historyChart({ ...bell!, passes: [] }, 0)).toBeNull();
  });

  it("historyChart holds every deviation within its axes, a line for each partial beside the one at 0", () => {
    const [, bell] = sampleSeries(2).bells;
    const { lines, points, x, y } = historyChart(bell!, 1)!;
    expect(lines).toHaveLength(6);
    expect(points).toHaveLength(5 * 3);
    // The fourth pass failed, so the axis marks three.
    expect(x.ticks!.map(({ text }) => text)).toEqual(["1", "2", "3"]);
    for (const point of points) expect(Math.abs(point.y)).toBeLessThanOrEqual(y.max);
    expect(historyLegend(bell!).map(({ text }) => text)).toEqual([
      "hum",
      "prime",
      "tierce",
      "quint",
      "nominal",
    ]);
    expect(new Set(historyLegend(bell!).map(({ look }) => look)).size).toBe(5);
  });
});

describe("endLabels", () => {
  it("endLabels puts names that would run into each other together, the highest first", () => {
    const ends = [
      { name: "hum", at: 0 },
      { name: "prime", at: 1 },
      { name: "nominal", at: 20 },
      { name: "quint", at: -30 },
    ];
    expect([...endLabels(ends, 5)]).toEqual([
      ["nominal", "nominal"],
      ["prime", "prime, hum"],
      ["quint", "quint"],
    ]);
    expect([...endLabels([], 5)]).toEqual([]);
  });
});
