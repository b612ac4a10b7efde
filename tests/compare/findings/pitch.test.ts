import { describe, expect, test } from "vitest";
import { emptyMeasurement, soundBell } from "../../support/sample-measurement.ts";
import { estimate } from "../../support/sample-parts.ts";
import { churchBell, clockBell } from "../support/published-bells.ts";
import { bellLike, inOtherAlloy } from "../support/sample-castings.ts";
import { judged } from "./judged.ts";

const cents = (c: number) => 2 ** (c / 1200);
const moved = (shifts: number[]) =>
  bellLike((spec, i) => ({ ...spec, frequencyHz: spec.frequencyHz * cents(shifts[i]) }));

describe("pitch", () => {
  test("pitch cannot be judged without pairs, with too few, or between different patterns", () => {
    expect(judged("pitch", emptyMeasurement(), soundBell()).outcome).toBe("not-measurable");
    const two = bellLike((spec, i) => (i < 2 ? spec : null));
    expect(judged("pitch", two, two).text).toContain("2 paired partials");
    const apart = judged("pitch", churchBell(), clockBell());
    expect(apart.outcome).toBe("not-measurable");
    expect(apart.clause).toBeNull();
  });

  test("pitch of one shift names material or size, and the material alone where the diameters are known", () => {
    const open = judged("pitch", soundBell(), inOtherAlloy(cents(38), 1));
    expect(open.clause).toBe(
      "B is 38.00 ± 0.10 cents higher throughout, so the material or the overall size changed, not the shape",
    );
    expect(open.text).toMatch(/agree on one shift \(X² < 0\.01 on 7 degrees of freedom, p = /);
    const sized = judged("pitch", soundBell(), inOtherAlloy(cents(-38), 1), [
      { diameterM: estimate(0.2, 0.0005) },
      { diameterM: estimate(0.2, 0.0005) },
    ]);
    expect(sized.clause).toContain("38.00 ± 0.10 cents lower throughout, so the material changed");
  });

  test("pitch takes nothing from a shift that warmth makes as well, and says how many kelvin", () => {
    const small = judged("pitch", soundBell(), inOtherAlloy(cents(1.5), 1));
    // -0.31 cents/K: the temperature data of the scaling plan.
    expect(small.text).toContain("about 5 K");
    expect(small.clause).toMatch(/no more than a difference of temperature makes/);
    expect(small.text).not.toMatch(/not the shape/);
  });

  test("pitch names the partials that moved by themselves, and by how much", () => {
    const some = judged("pitch", soundBell(), moved([0, 0, 25, 0, 0, 0, 0, 0]));
    expect(some.clause).toMatch(
      /^the tierce moved against the rest, so the shape or the thickness changed there/,
    );
    expect(some.text).toMatch(/the tierce by 25\.00 ± 0\.1\d cents/);
    expect(some.comparison.common!.pitch.moved).toEqual([2]);
  });

  test("pitch calls a scatter shape, and a larger shift with a scatter both", () => {
    const scatter = judged("pitch", soundBell(), moved([-20, 14, 3, -9, 22, 8, -15, 1]));
    expect(scatter.clause).toMatch(
      /^the partials moved against each other by 1\d\.\d ± \S+ cents, so the shape/,
    );
    const both = judged("pitch", soundBell(), moved([78, 84, 80, 76, 83, 79, 81, 82]));
    expect(both.clause).toMatch(
      /^B is \S+ ± \S+ cents higher on the whole, mostly the material or the overall size; a scatter/,
    );
  });

  test("pitch shows every pair in its rows", () => {
    const rows = judged("pitch", soundBell(), moved([0, 0, 0, 0, 0, 0, 0, 0])).evidence.find(
      (each) => each.kind === "table" && each.columns[0] === "partial",
    );
    expect(rows).toMatchObject({
      columns: ["partial", "A, Hz", "B, Hz", "cents", "strike spread, cents", "changed"],
    });
    expect(rows!.kind === "table" && rows!.rows).toHaveLength(8);
  });
});
