import { describe, expect, it } from "vitest";
import { roundedDown } from "../../src/series/tuning/choose-cut.ts";
import {
  mixtureBelow,
  mixtureEstimate,
  mixtureQuantile,
  normalBelow,
} from "../../src/series/tuning/mixture.ts";
import { amountForChance, chancePast, type Movement } from "../../src/series/tuning/outcome.ts";
import { projectAmount } from "../../src/series/tuning/project.ts";
import { fitSlope } from "../../src/series/tuning/slope.ts";

const cutsOf = (bell: string, slope: number, amounts = [10, 12, 8]) =>
  amounts.map((amount, i) => ({ bell, amount, changeCents: slope * amount + 0.1 * (i - 1), variance: 0.01 }));

const movement = (deviation: number, slope: number): Movement => ({
  partial: "hum",
  deviationCents: { value: deviation, ci95: 0.2 },
  slope: fitSlope(cutsOf("a", slope), "a"),
});

describe("normalBelow", () => {
  it("normalBelow agrees with the tables of the normal distribution to its stated 7.5e-8", () => {
    // Abramowitz & Stegun 1964, table 26.1.
    for (const [z, p] of [
      [0, 0.5],
      [1, 0.8413447461],
      [1.96, 0.9750021049],
      [3, 0.998650102],
    ] as const) {
      expect(Math.abs(normalBelow(z) - p)).toBeLessThan(7.5e-8);
      expect(Math.abs(normalBelow(-z) - (1 - p))).toBeLessThan(7.5e-8);
    }
  });
});

describe("mixtureQuantile", () => {
  it("mixtureQuantile undoes mixtureBelow, for one component and for two far apart", () => {
    for (const means of [
      [0, 0],
      [-50, 50],
    ]) {
      const mixture = {
        weight: Float64Array.of(0.3, 0.7),
        mean: Float64Array.from(means),
        sd: Float64Array.of(1, 2),
      };
      for (const p of [0.025, 0.31, 0.975])
        expect(mixtureBelow(mixture, mixtureQuantile(mixture, p))).toBeCloseTo(p, 6);
    }
  });
});

describe("fitSlope", () => {
  it("fitSlope takes the sign from the cuts, whichever way they moved the partial", () => {
    for (const slope of [-0.7, 0.7]) {
      const { value, ci95 } = mixtureEstimate(fitSlope(cutsOf("a", slope), "a"));
      expect(Math.abs(value - slope)).toBeLessThan(ci95);
      expect(ci95).toBeLessThan(0.35);
    }
  });

  it("fitSlope of cuts that changed nothing holds 0, without a NaN", () => {
    const still = [5, 9, 7].map((amount) => ({ bell: "a", amount, changeCents: 0, variance: 0.01 }));
    const { value, ci95 } = mixtureEstimate(fitSlope(still, "a"));
    expect(value).toBeCloseTo(0, 9);
    expect(ci95).toBeGreaterThan(0);
    expect(Number.isFinite(ci95)).toBe(true);
  });

  it("fitSlope knows a bell with cuts of its own better than one that was never cut", () => {
    const others = ["a", "b", "c", "d"].flatMap((bell, i) => cutsOf(bell, -0.5 - 0.1 * i));
    const own = mixtureEstimate(fitSlope(others, "d"));
    const never = mixtureEstimate(fitSlope(others, "new"));
    expect(own.ci95).toBeLessThan(never.ci95);
    // Its own cuts draw it away from the others' mean of -0.65.
    expect(own.value).toBeLessThan(-0.7);
    expect(never.value).toBeCloseTo(-0.65, 1);
  });
});

describe("amountForChance", () => {
  it("amountForChance is 0 where the chance is there already, null where it never comes", () => {
    expect(amountForChance((x) => chancePast(movement(0.1, -0.5), x), 0.05, 10)).toBe(0);
    expect(amountForChance((x) => chancePast(movement(20, 0.5), x), 0.5, 10)).toBeNull();
  });

  it("amountForChance stops short of where the mean would go, on either side of the target", () => {
    for (const side of [-1, 1]) {
      const amount = amountForChance((x) => chancePast(movement(20 * side, -0.5 * side), x), 0.05, 10)!;
      expect(amount).toBeGreaterThan(25);
      expect(amount).toBeLessThan(40);
    }
  });
});

describe("projectAmount", () => {
  it("projectAmount says why where there is no amount", () => {
    expect(projectAmount(movement(0.1, -0.5), 10).reason).toMatch(/at its target/);
    expect(projectAmount(movement(-20, -0.5), 10).reason).toBe("cannot be reached by removing metal there");
    expect(projectAmount(movement(20, 0.5), 10).reason).toBe("cannot be reached by removing metal there");
    expect(projectAmount(movement(20, 0), 10).reason).toMatch(/do not tell/);
  });

  it("projectAmount gives the amount of the line, within its interval", () => {
    const { amount } = projectAmount(movement(20, -0.5), 10);
    expect(Math.abs(amount!.value - 40)).toBeLessThan(amount!.ci95);
    expect(amount!.ci95).toBeLessThan(20);
  });
});

describe("roundedDown", () => {
  it("roundedDown never rounds up, and keeps two digits", () => {
    expect([0, 0.0199, 8.79, 10.99, 99.9, 100, 1234].map(roundedDown)).toEqual([
      0, 0.019, 8.7, 10, 99, 100, 1200,
    ]);
  });
});
