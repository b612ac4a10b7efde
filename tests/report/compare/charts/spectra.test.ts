import { describe, expect, test } from "vitest";
import { mirroredSpectra, overlaidSpectra } from "../../../../src/report/compare/charts/spectra.ts";
import { nothingInCommon, twoAlloys, viewOf } from "../compared.ts";

describe("overlaidSpectra(view)", () => {
  test("overlaidSpectra(view) of castings without a curve keeps finite axes", () => {
    const { x, y } = overlaidSpectra(viewOf(nothingInCommon()));
    expect([x.min, x.max, y.min, y.max].every(Number.isFinite)).toBe(true);
    expect(x.min).toBeLessThan(x.max);
  });

  test("overlaidSpectra(view) draws both curves and every partial within its axes, unpaired ones too", () => {
    const view = viewOf(twoAlloys());
    const { lines, points, x, y } = overlaidSpectra(view);
    expect(lines.map(({ look }) => look)).toEqual(["first", "second"]);
    expect(points).toHaveLength(2 * 7 + 1);
    expect(points.filter(({ mark }) => mark === null).map(({ tip }) => tip[0])).toEqual([
      expect.stringMatching(/^A alone, quint: /),
    ]);
    for (const point of points) {
      expect(point.x).toBeGreaterThan(x.min);
      expect(point.x).toBeLessThan(x.max);
      expect(point.y).toBeLessThanOrEqual(y.max);
      expect(point.y).toBeGreaterThanOrEqual(y.min);
    }
  });
});

describe("mirroredSpectra(view)", () => {
  test("mirroredSpectra(view) draws A upwards and B downwards from one line, to one scale", () => {
    const { lines, points, y } = mirroredSpectra(viewOf(twoAlloys()));
    expect(lines[0].y.every((level) => level! >= 0)).toBe(true);
    expect(lines[1].y.every((level) => level! <= 0)).toBe(true);
    expect(points.every(({ look, y: level }) => (look === "first" ? level >= 0 : level <= 0))).toBe(true);
    expect(y.min).toBe(-y.max);
    const top = y.ticks!.find(({ text }) => text === "0")!;
    // The strongest partial of either is the zero of its half.
    expect(Math.abs(top.at)).toBe(Math.max(...points.map(({ y: level }) => level)));
    expect(y.ticks!.map(({ at }) => at)).toEqual([...y.ticks!.map(({ at }) => at)].sort((p, q) => p - q));
  });
});
