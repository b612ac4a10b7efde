import { describe, expect, test } from "vitest";
import { noiseAt, spectrumChart } from "../../../../src/report/tap/charts/spectrum.ts";
import { emptyMeasurement, soundBell } from "../../../support/sample-measurement.ts";

describe("spectrumChart", () => {
  test("spectrumChart(m) of no curve is null", () => {
    expect(spectrumChart(emptyMeasurement())).toBeNull();
  });

  test("spectrumChart(m) marks each partial at its fitted level, and interference and combinations by other shapes", () => {
    const bell = soundBell();
    const { points, x } = spectrumChart(bell)!;
    const partials = points.filter(({ look }) => look === "partial");
    expect(partials.map(({ x: at, y, mark }) => [at, y, mark])).toEqual(
      bell.partials.map((p, i) => [p.frequencyHz.value, p.levelDb.value, i]),
    );
    expect(points.map(({ look }) => look).filter((look) => look !== "partial")).toEqual([
      "interference",
      "combination",
    ]);
    for (const { x: at } of points) {
      expect(at).toBeGreaterThan(x.min);
      expect(at).toBeLessThan(x.max);
    }
  });

  test("spectrumChart(m) draws no level below its axis and none that is not finite", () => {
    const bell = soundBell();
    bell.curves.spectrum.levelDb[150] = -900;
    const { lines, y } = spectrumChart(bell)!;
    for (const level of lines.flatMap((line) => line.y)) {
      expect(Number.isFinite(level)).toBe(true);
      expect(level).toBeGreaterThanOrEqual(y.min);
    }
  });
});

describe("noiseAt", () => {
  const curve = { frequencyHz: [100, 200, 400], levelDb: [0, 0, 0], noiseDb: [-60, -70, -90] };

  test("noiseAt(curve, outside) is null", () => {
    expect([
      noiseAt(curve, 99),
      noiseAt(curve, 401),
      noiseAt({ frequencyHz: [], levelDb: [], noiseDb: [] }, 1),
    ]).toEqual([null, null, null]);
  });

  test("noiseAt(curve, f) lies on straight lines between the points", () => {
    expect([noiseAt(curve, 100), noiseAt(curve, 150), noiseAt(curve, 300), noiseAt(curve, 400)]).toEqual([
      -60, -65, -80, -90,
    ]);
  });
});
