import { describe, expect, test } from "vitest";
import { beatCharts, beatCurve } from "../../../../src/report/tap/charts/beats.ts";
import { soundBell } from "../../../support/sample-measurement.ts";
import { estimate } from "../../../support/sample-parts.ts";

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
