import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  baseOf,
  compositionDistance,
  elementOf,
  formatComposition,
  parseComposition,
} from "../../src/foundry/composition.ts";
import { InvalidPlanError } from "../../src/foundry/error.ts";

describe("parseComposition", () => {
  it.each([
    ["", /not a composition/],
    ["bell metal", /not a composition/],
    ["cu80sn20", /not a composition/],
    ["80Cu20Sn", /not a composition/],
    ["Cu80-Sn20", /not a composition/],
    ["Cu80Sn-20", /not a composition/],
    ["CuNaNSn20", /twice|not an element|not a composition/],
    ["Cu80Xx20", /Xx is not an element/],
    ["Cu80Sn10Sn10", /Sn twice/],
    ["CuCu20", /Cu twice/],
    ["CuSnZn4", /leaves out two/],
    ["Cu80Sn19", /adds up to 99 %/],
    ["Cu20Sn80Zn5", /adds up to 105 %/],
    ["CuSn100", /adds up to 100 %/],
    ["Cu1e2", /adds up|not a composition/],
  ])("parseComposition refuses %j", (text, message) => {
    expect(() => parseComposition(text)).toThrow(message);
  });

  it("parseComposition reads mass per cent as chemists write it", () => {
    expect(parseComposition("Cu80Sn20")).toEqual({ Cu: 0.8, Sn: 0.2 });
    expect(parseComposition(" Cu88Sn10Zn2 ")).toEqual({ Cu: 0.88, Sn: 0.1, Zn: 0.02 });
    expect(parseComposition("Cu100")).toEqual({ Cu: 1 });
    expect(parseComposition("Cu100Sn0")).toEqual({ Cu: 1 });
  });

  it("parseComposition lets one element be the rest", () => {
    expect(parseComposition("CuSn20")).toEqual({ Cu: 0.8, Sn: 0.2 });
    expect(formatComposition(parseComposition("Sn22Cu"))).toBe("Cu78Sn22");
  });

  it("parseComposition of any text gives fractions that sum to one, or one sentence (2,000 texts, seed 3)", () => {
    const pieces = fc.constantFrom(
      "Cu",
      "Sn",
      "Zn",
      "Xx",
      "80",
      "20",
      "10.5",
      ".",
      "-",
      " ",
      "e9",
      "constructor",
      "%",
    );
    const text = fc.oneof(
      fc.string(),
      fc.array(pieces, { maxLength: 8 }).map((parts) => parts.join("")),
    );
    fc.assert(
      fc.property(text, (given) => {
        try {
          const fractions = Object.values(parseComposition(given));
          expect(fractions.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
          for (const fraction of fractions) expect(fraction).toBeGreaterThan(0);
        } catch (error) {
          expect(error).toBeInstanceOf(InvalidPlanError);
        }
      }),
      { numRuns: 2000, seed: 3 },
    );
  });

  it("parseComposition makes rounded per cents add up to one", () => {
    const thirds = parseComposition("Cu66.67Sn33.3");
    expect(thirds.Cu! + thirds.Sn!).toBeCloseTo(1, 15);
    expect(Object.keys(thirds)).toEqual(["Cu", "Sn"]);
  });

  it("parseComposition reads symbols of one letter", () => {
    expect(parseComposition("CuP8")).toEqual({ Cu: 0.92, P: 0.08 });
  });
});

describe("baseOf, compositionDistance, elementOf", () => {
  it("baseOf is the element that makes up most, of equals the first written", () => {
    expect(baseOf({ Sn: 0.2, Cu: 0.8 })).toBe("Cu");
    expect(baseOf({ Zn: 0.5, Cu: 0.5 })).toBe("Zn");
  });

  it("compositionDistance is the fraction that would have to be exchanged", () => {
    expect(compositionDistance({ Cu: 0.8, Sn: 0.2 }, { Cu: 0.9, Sn: 0.1 })).toBeCloseTo(0.1, 12);
    expect(compositionDistance({ Cu: 1 }, { Sn: 1 })).toBe(1);
    expect(compositionDistance({ Cu: 1 }, { Cu: 1 })).toBe(0);
  });

  it("elementOf gives the handbook densities of copper and tin (CRC Handbook, from memory)", () => {
    expect(elementOf("Cu").densityKgM3).toBe(8960);
    expect(elementOf("Sn").densityKgM3).toBe(7290);
    expect(() => elementOf("constructor")).toThrow(/not an element known here; known are Cu, Sn, Zn, Pb, /);
  });
});
