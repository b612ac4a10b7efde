import { describe, expect, test } from "vitest";
import {
  castingName,
  idOf,
  markOfCasting,
  markOfPair,
  markOfTurns,
  viewsOf,
} from "../../../src/report/compare/view.ts";
import { threeCastings, twoAlloys } from "./compared.ts";

describe("viewsOf(comparison, measurements)", () => {
  test("viewsOf(comparison, measurements) refuses measurements that are not those of the castings", () => {
    const { comparison, measurements } = twoAlloys();
    expect(() => viewsOf(comparison, measurements.slice(1))).toThrow(RangeError);
  });

  test("viewsOf(comparison, measurements) gives each casting beside the reference, ids and marks of its own", () => {
    const { comparison, measurements } = threeCastings();
    const views = viewsOf(comparison, measurements);
    expect(views.map(({ a, b }) => a.letter + b.letter)).toEqual(["AB", "AC"]);
    expect(views.map(({ to }) => to)).toEqual([measurements[0], measurements[2]]);
    expect(views.map((view) => idOf(view, "spectrum"))).toEqual(["spectrum", "spectrum-c"]);
    const marks = views.flatMap((view) => [
      ...view.two.pairs.map((_, i) => markOfPair(view, i)),
      markOfTurns(view),
      markOfCasting(view.two.b),
    ]);
    expect(new Set(marks).size).toBe(marks.length);
  });
});

describe("castingName(casting)", () => {
  test("castingName(casting) is the letter with the label, or alone", () => {
    const [first] = twoAlloys().comparison.castings;
    expect(castingName(first)).toBe("A (first heat)");
    expect(castingName({ ...first, label: "" })).toBe("A");
  });
});
