import { describe, expect, it } from "vitest";
import { ALLOY_SHEETS } from "../../src/foundry/alloy-sheets.ts";
import { alloyShift, waveSpeedsMS } from "../../src/foundry/alloy-shift.ts";
import { parseComposition } from "../../src/foundry/composition.ts";

const shift = (from: string, to: string) => alloyShift(parseComposition(from), parseComposition(to));

describe("waveSpeedsMS", () => {
  // sqrt(E / density) of the sheets, computed apart from this code, to the metre per second.
  it.each([
    ["C90300", [3311]],
    ["C90700", [3433, 3653]],
    ["C91300", [3540]],
    ["C95400", [3789]],
    ["C85300", [3483]],
  ])("waveSpeedsMS of %s", (id, expected) => {
    const sheet = ALLOY_SHEETS.find((candidate) => candidate.id === id)!;
    expect(waveSpeedsMS(sheet).map(Math.round)).toEqual(expected);
  });
});

describe("alloyShift", () => {
  it("alloyShift refuses an alloy that no sheet is near", () => {
    expect(() => shift("Cu80Sn20", "Cu60Zn40")).toThrow(/no data sheet .* near Cu60Zn40/);
    expect(() => shift("Cu100", "Cu80Sn20")).toThrow(/near Cu100/);
  });

  it("alloyShift of no change is exactly one", () => {
    expect(shift("Cu80Sn20", "Cu80Sn20")).toEqual({
      frequencyRatio: { value: 1, ci95: 0 },
      basis: "The alloy stays the same.",
      sheets: [],
    });
  });

  it("alloyShift between tin bronzes is the trend over their sheets (scipy.stats.linregress on the same table)", () => {
    const { frequencyRatio, sheets } = shift("Cu90Sn10", "Cu80Sn20");
    expect(sheets).toContain("C91300");
    // Slope 11.447 +- 27.377 m/s per % of tin (95 %, 6 degrees of freedom): ratio 1.03312, 7.79 % of it.
    expect(Math.abs(frequencyRatio.value - 1.03312)).toBeLessThan(1e-5);
    expect(Math.abs(frequencyRatio.ci95 / frequencyRatio.value - 0.0779)).toBeLessThan(1e-4);
  });

  it("alloyShift never claims less than 5 %, and turns over when the alloys are exchanged", () => {
    const near = shift("Cu80Sn20", "Cu79Sn21").frequencyRatio;
    expect(near.ci95 / near.value).toBeCloseTo(0.05, 12);
    const there = shift("Cu90Sn10", "Cu80Sn20").frequencyRatio;
    const back = shift("Cu80Sn20", "Cu90Sn10").frequencyRatio;
    expect(there.value * back.value).toBeCloseTo(1, 12);
  });

  it("alloyShift says so beyond the tin that sheets list", () => {
    expect(shift("Cu90Sn10", "Cu78Sn22").basis).toMatch(/extended beyond their 8.3 % to 19 % tin/);
    expect(shift("Cu92Sn8", "Cu82Sn18").basis).toMatch(/extended/);
    // The least and the most listed are themselves listed.
    expect(shift("Cu91.7Sn8.3", "Cu81Sn19").basis).toBe(
      "Trend of the square root of E over density with tin over 7 data sheets of tin bronzes.",
    );
  });

  it("alloyShift to another family takes the nearest sheets, each with 5 %", () => {
    const { frequencyRatio, sheets } = shift("Cu81Sn19", "Cu85Al11Fe4");
    expect(sheets).toEqual(["C91300", "C95400"]);
    // 3788 over 3540 m/s, as listed beside the sheets.
    expect(Math.abs(frequencyRatio.value - 3788 / 3540)).toBeLessThan(1e-3);
    expect(frequencyRatio.ci95 / frequencyRatio.value).toBeCloseTo(Math.hypot(0.05, 0.05), 9);
    expect(shift("Cu81Sn19", "Cu85Al11Fe4").basis).toMatch(/density of C95400 over that of C91300, /);
  });

  it("alloyShift from a sheet with two readings takes their middle; 3.1 % between them is within the 5 %", () => {
    const { frequencyRatio } = shift("Cu89Sn11", "Cu85Al11Fe4");
    // 3433 and 3653 m/s, and 3789: each rounded to half a metre in 3400.
    expect(Math.abs(frequencyRatio.value - 3789 / ((3433 + 3653) / 2))).toBeLessThan(4e-4);
    expect(frequencyRatio.ci95 / frequencyRatio.value).toBeCloseTo(Math.hypot(0.05, 0.05), 9);
  });
});
