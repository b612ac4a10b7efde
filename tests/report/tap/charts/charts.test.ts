import { describe, expect, test } from "vitest";
import { beatCharts, beatCurve } from "../../../../src/report/tap/charts/beats.ts";
import { deviationChart, deviationLimit } from "../../../../src/report/tap/charts/deviation.ts";
import { partialRingDownChart, wholeRingDownChart } from "../../../../src/report/tap/charts/ring-down.ts";
import { noiseAt, spectrumChart } from "../../../../src/report/tap/charts/spectrum.ts";
import { emptyMeasurement, noisyRecording, soundBell } from "../../../support/sample-measurement.ts";
import { estimate } from "../../../support/sample-parts.ts";

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

describe("beatCurve", () => {
  const pair = (secondLevelDb: number, splitHz: number) => {
    const partial = soundBell().partials[1]!;
    const [first, second] = partial.doublet!.members as [
      (typeof partial.doublet & object)["members"][0],
      (typeof partial.doublet & object)["members"][0],
    ];
    partial.doublet!.members = [
      { ...first, levelDb: estimate(0, 0.1), phaseRad: estimate(0, 0.1), decayTimeS: estimate(30, 1) },
      {
        ...second,
        frequencyHz: estimate(first.frequencyHz.value + splitHz, 0.01),
        levelDb: estimate(secondLevelDb, 0.1),
        phaseRad: estimate(0, 0.1),
        decayTimeS: estimate(30, 1),
      },
    ];
    return partial;
  };

  test("beatCurve of two equal members in phase is 2 |cos(pi split t)| times their decay", () => {
    const { timeS, togetherDb } = beatCurve(pair(0, 0.5), 3, 31);
    timeS.forEach((t, i) => {
      const truth = 20 * Math.log10(2 * Math.abs(Math.cos(Math.PI * 0.5 * t))) - (60 * t) / 30;
      // At the null at 1 s and 3 s only rounding is left on both sides.
      if (truth < -200) expect(togetherDb[i]).toBeLessThan(-200);
      else expect(togetherDb[i]).toBeCloseTo(truth, 6);
    });
  });

  test("beatCurve of members 6.02 dB apart swings between 1.5 and 0.5 times the stronger", () => {
    const partial = pair(-20 * Math.log10(2), 1);
    const { togetherDb } = beatCurve(partial, 0.5, 2);
    expect(togetherDb[0]).toBeCloseTo(20 * Math.log10(1.5), 9);
    expect(togetherDb[1]).toBeCloseTo(20 * Math.log10(0.5) - (60 * 0.5) / 30, 9);
  });
});

describe("beatCharts", () => {
  test("beatCharts(m) has one chart for each split partial, each member of its own look", () => {
    const charts = beatCharts(soundBell());
    expect(charts.map(({ id }) => id)).toEqual(["chart-beats-1", "chart-beats-6"]);
    expect(charts[0]!.lines.map(({ look }) => look)).toEqual(["member", "other-member", "together"]);
  });

  test("beatCharts(m) stays finite where two members cancel outright", () => {
    const bell = soundBell();
    for (const member of bell.partials[1]!.doublet!.members) {
      Object.assign(member, { levelDb: estimate(0, 1), decayTimeS: estimate(1e9, 1) });
    }
    Object.assign(bell.partials[1]!.doublet!.members[1]!, { phaseRad: estimate(0.4 + Math.PI, 1) });
    for (const level of beatCharts(bell)[0]!.lines.flatMap(({ y }) => y)) {
      expect(Number.isFinite(level)).toBe(true);
    }
  });
});
