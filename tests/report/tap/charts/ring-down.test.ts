import { describe, expect, test } from "vitest";
import { partialRingDownChart, wholeRingDownChart } from "../../../../src/report/tap/charts/ring-down.ts";
import { emptyMeasurement, soundBell } from "../../../support/sample-measurement.ts";

describe("wholeRingDownChart and partialRingDownChart", () => {
  test("wholeRingDownChart(m) of no curve is null", () => {
    expect(wholeRingDownChart(emptyMeasurement())).toBeNull();
  });

  test("wholeRingDownChart(m) keeps each partial's fit ready, drawn only while it is chosen", () => {
    const bell = soundBell();
    const { lines } = wholeRingDownChart(bell)!;
    const waiting = lines.filter(({ onlyChosen }) => onlyChosen);
    expect(waiting.map(({ mark }) => mark)).toEqual(bell.partials.map((_, i) => i));
    expect(lines.filter(({ onlyChosen }) => !onlyChosen).map(({ look }) => look)).toEqual([
      "measured",
      "model",
      "noise",
    ]);
  });

  test("partialRingDownChart(curve) ends soon after the fit has sunk into the noise", () => {
    const timeS = [0, 1, 2, 3, 4, 5];
    const modelDb = timeS.map((t) => 0 - 20 * t);
    const { x, lines } = partialRingDownChart({ partial: 2, timeS, levelDb: modelDb, modelDb, noiseDb: -40 });
    // 10 dB under the noise is reached at 2.5 s; the next point is the last.
    expect(x.max).toBe(3);
    expect(lines.find(({ look }) => look === "noise")!.y).toEqual([-40, -40]);
    expect(lines[1]!.y.slice(0, 4)).toEqual([0, -20, -40, null]);
  });
});
