import { describe, expect, test } from "vitest";
import { pairRingDowns, wholeRingDowns } from "../../../../src/report/compare/charts/ring-downs.ts";
import { nothingInCommon, twoAlloys, viewOf } from "../compared.ts";

describe("wholeRingDowns(view)", () => {
  test("wholeRingDowns(view) of castings without a curve is null or draws the one there is", () => {
    expect(wholeRingDowns(viewOf(nothingInCommon()))?.lines.length ?? 0).toBeLessThan(2);
  });

  test("wholeRingDowns(view) begins both at the strike and at 0 dB, so that neither blow nor gain shows", () => {
    const { comparison, measurements } = twoAlloys();
    const louder = measurements[1].curves.ringDowns.map((curve) => ({
      ...curve,
      levelDb: curve.levelDb.map((level) => level + 12),
      noiseDb: curve.noiseDb + 12,
    }));
    const b = { ...measurements[1], curves: { ...measurements[1].curves, ringDowns: louder } };
    const plain = wholeRingDowns(viewOf({ comparison, measurements }))!;
    const gained = wholeRingDowns(viewOf({ comparison, measurements: [measurements[0], b] }))!;
    for (const { lines, x } of [plain, gained]) {
      expect(x.min).toBe(0);
      for (const line of lines) {
        expect(line.x[0]).toBe(0);
        expect(Math.max(...line.y.map((level) => level ?? -99))).toBe(0);
      }
    }
    expect(gained.lines[1].y.slice(0, 40)).toEqual(plain.lines[1].y.slice(0, 40));
  });
});

describe("pairRingDowns(view, pair, index)", () => {
  test("pairRingDowns(view, pair, index) draws the partials of the pair, under its mark", () => {
    const view = viewOf(twoAlloys());
    const chart = pairRingDowns(view, view.two.pairs[3], 3)!;
    expect(chart.lines.map(({ look, mark }) => [look, mark])).toEqual([
      ["first", 3],
      ["second", 3],
    ]);
    // The nominal of B rings 2.1 times as long: later it stands higher.
    const late = chart.lines.map(({ y }) => y[20]!);
    expect(late[1]).toBeGreaterThan(late[0]);
  });
});
