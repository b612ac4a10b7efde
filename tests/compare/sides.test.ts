import { describe, expect, test } from "vitest";
import { sidesOf, splitDifference } from "../../src/compare/sides.ts";
import { type PartialSpec, samplePartial } from "../support/sample-parts.ts";

const MATCH = { a: 0, b: 0, pairedBy: "name" } as const;
const spec = (over: Partial<PartialSpec> = {}): PartialSpec => ({
  name: "tierce",
  frequencyHz: 600,
  lossFactor: 2e-4,
  levelDb: 0,
  ...over,
});
const partial = (over: Partial<PartialSpec> = {}) => samplePartial(spec(over), 500);

describe("sidesOf(match, from, to)", () => {
  test("sidesOf(match, from, to) takes single partials as they are", () => {
    const { a, b } = sidesOf(MATCH, partial(), partial({ frequencyHz: 610 }));
    expect(a.frequencyHz).toEqual(partial().frequencyHz);
    expect(b.frequencyHz.value).toBe(610);
    expect(a.splitHz).toBeNull();
    // Q = pi f T60 / ln 1000 (Cremer & Heckl).
    expect(a.q.value).toBeCloseTo((Math.PI * 600 * a.decayTimeS.value) / Math.log(1000), 6);
  });

  test("sidesOf(match, from, to) takes the middle of two pairs, wherever the blow fell", () => {
    // The member that was struck pulls the power-weighted centre to itself; the middle stays.
    const low = partial({ splitHz: 10 });
    const members = low.doublet!.members;
    const high = { ...low, frequencyHz: { ...low.frequencyHz, value: members[1].frequencyHz.value } };
    const { a, b } = sidesOf(MATCH, low, high);
    expect(b.frequencyHz).toEqual(a.frequencyHz);
    expect(a.frequencyHz.value).toBeCloseTo(
      Math.sqrt(members[0].frequencyHz.value * members[1].frequencyHz.value),
      9,
    );
  });

  test("sidesOf(match, from, to) lets the interval reach both members where the other shows one line", () => {
    const { a, b } = sidesOf(MATCH, partial({ splitHz: 3 }), partial());
    expect(a.frequencyHz.ci95).toBeGreaterThanOrEqual(3);
    expect(b.frequencyHz.ci95).toBeLessThan(0.1);
  });
});

describe("splitDifference(sides)", () => {
  test("splitDifference(sides) of two single lines is null", () => {
    expect(splitDifference(sidesOf(MATCH, partial(), partial()))).toBeNull();
  });

  test("splitDifference(sides) is B's split less A's", () => {
    const sides = sidesOf(MATCH, partial({ splitHz: 0.5 }), partial({ splitHz: 2 }));
    expect(splitDifference(sides)!.value).toBeCloseTo(1.5, 12);
  });

  test("splitDifference(sides) takes a single line for 0 to within half its linewidth", () => {
    const sides = sidesOf(MATCH, partial(), partial({ splitHz: 2 }));
    const linewidthHz = Math.log(1000) / Math.PI / sides.a.decayTimeS.value;
    const { value, ci95 } = splitDifference(sides)!;
    expect(value).toBe(2);
    expect(ci95).toBeGreaterThanOrEqual(linewidthHz / 2);
    expect(ci95).toBeLessThan(linewidthHz / 2 + 0.1);
  });
});
