import { describe, expect, it } from "vitest";
import { planned, refused } from "./plan-support.ts";

describe("plan density", () => {
  it("plan density refuses what cannot be meant", async () => {
    await refused(["density", "--air", "812g"], /--water is needed/);
    await refused(["density", "--air", "718g", "--water", "812g"], /weighs less in water/);
    await refused(
      ["density", "--air", "812g", "--water", "718g", "--water-temperature", "90C"],
      /between 0 and 40/,
    );
  });

  it("plan density takes the readings' digits, or the balance's own accuracy", async () => {
    const usual = await planned(["density", "--air", "812g", "--water", "718g"]);
    expect(usual.density!.densityKgM3.value).toBeGreaterThan(8600);
    expect(usual.density!.densityKgM3.value).toBeLessThan(8630);
    expect(usual.density!.tinPercent!.value).toBeGreaterThan(15);
    expect(usual.density!.tinPercent!.value).toBeLessThan(20);
    const fine = await planned([
      "density",
      "--air",
      "812.00g",
      "--water",
      "718.00g",
      "--water-temperature",
      "20.0C",
    ]);
    expect(fine.density!.densityKgM3.ci95).toBeLessThan(usual.density!.densityKgM3.ci95 / 50);
    const coarse = await planned(["density", "--air", "812.00g", "--water", "718.00g", "--balance", "1g"]);
    expect(coarse.density!.densityKgM3.ci95).toBeGreaterThan(usual.density!.densityKgM3.ci95);
    const us = await planned(["density", "--air", "1.790lb", "--water", "1.583lb", "--alloy", "Cu80Sn20"]);
    expect(us.density!.porosityPercent).not.toBeNull();
  });
});
