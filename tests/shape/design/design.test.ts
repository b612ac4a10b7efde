import { describe, expect, it } from "vitest";
import { profileById } from "../../../src/bell/index.ts";
import { checkedBound, design } from "../../../src/shape/design/design.ts";
import { boundedLeastSquares } from "../../../src/shape/design/least-squares.ts";
import { meshProfile, pairedProfile } from "../../../src/shape/mesh/wall-mesh.ts";
import { targetModes } from "../../../src/shape/tune/answer.ts";
import { bellProfile, MATERIAL } from "../support/bells.ts";

const casting = bellProfile("church");
const paired = pairedProfile(casting);
const minor = profileById("minor-third");

describe("design", () => {
  it("design brings a bell that is 345 cents off to the minor-third ratios and its note, as computed anew", () => {
    const { profile, result } = design({
      casting,
      paired,
      material: MATERIAL,
      ratios: minor,
      walls: ["inner", "outer"],
      mostOfWall: 0.4,
      noteHz: 523.251,
    });
    expect(Math.max(...result.partials.map(({ beforeCents }) => Math.abs(beforeCents)))).toBeGreaterThan(300);
    expect(result.notReached).toEqual([]);
    for (const { ofWall } of result.changes) expect(Math.abs(ofWall)).toBeLessThanOrEqual(0.4 + 1e-9);
    const targets = [
      { name: "hum", m: 2, order: 1, ratio: 0.5 },
      { name: "prime", m: 2, order: 2, ratio: 1 },
      { name: "tierce", m: 3, order: 1, ratio: 1.2 },
      { name: "quint", m: 3, order: 2, ratio: 1.5 },
      { name: "nominal", m: 4, order: 1, ratio: 2 },
    ];
    const hz = targetModes(meshProfile(pairedProfile(profile), 60, 3), MATERIAL, targets).map(
      ({ frequencyHz }) => frequencyHz,
    );
    // A cent of the design, and what 121 points a wall joined by straight lines take when it is read again: 60 points err by
    // 4.3 cents (an independent program), and that goes with the square of their distance.
    targets.forEach(({ name, ratio }, i) => {
      expect(Math.abs(1200 * Math.log2(hz[i]! / (523.251 * ratio))), name).toBeLessThan(1 + 4.3 / 4 + 1);
    });
  });

  it("design says what its bounds do not allow", () => {
    const { result } = design({
      casting,
      paired,
      material: MATERIAL,
      ratios: minor,
      walls: ["inner"],
      mostOfWall: 0.03,
      noteHz: null,
    });
    expect(result.notReached).toContain("hum");
    expect(result.sizeFactor).toBe(1);
  });

  it("checkedBound takes a share of the wall", () => {
    expect(checkedBound(0.4)).toBe(0.4);
    for (const none of [0, -1, 0.9, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => checkedBound(none)).toThrow(/at most 60 %/);
    }
  });
});

describe("boundedLeastSquares", () => {
  it("boundedLeastSquares gives the plain solution where no bound is met", () => {
    const rows = [
      [1, 1],
      [1, -1],
    ];
    expect(boundedLeastSquares(rows, [3, 1], [-9, -9], [9, 9])[0]).toBeCloseTo(2, 12);
  });

  it("boundedLeastSquares stops at a bound and makes the best of the rest", () => {
    const rows = [
      [1, 1],
      [0, 0.001],
    ];
    const [a, b] = boundedLeastSquares([...rows, [0.001, 0]], [3, 0, 0], [0, 0], [1, 9]) as [number, number];
    expect(a).toBe(1);
    expect(b).toBeCloseTo(2, 4);
  });
});
