import { describe, expect, it } from "vitest";
import {
  isMass,
  metresPer,
  parseContraction,
  parseLengthM,
  parseMassKg,
  parsePercent,
  parseTemperatureC,
  parseVolumeM3,
} from "../../src/foundry/quantity.ts";

describe("parseMassKg", () => {
  it.each([
    "",
    "kg",
    "12",
    "1,5kg",
    "-3kg",
    "1e3kg",
    "12 stone",
    "12kg of copper",
    "NaNkg",
    "Infinitykg",
    "1.2.3kg",
    "5constructor",
    "12kg!",
    "about 12kg",
  ])("parseMassKg refuses %j", (text) => {
    expect(() => parseMassKg(text)).toThrow(/is not a mass; write a number/);
  });

  // Pound: 0.45359237 kg exactly (international yard and pound agreement, 1959).
  it.each([
    ["12kg", 12, 0.5],
    ["12.0 kg", 12, 0.05],
    ["812g", 0.812, 0.0005],
    [".5kg", 0.5, 0.05],
    [".55 kg ", 0.55, 0.005],
    ["2lb", 0.90718474, 0.226796185],
    ["16oz", 0.45359237, 0.5 * 0.028349523125],
  ])("parseMassKg(%j) is %d kg, written to %d", (text, value, resolution) => {
    expect(parseMassKg(text).value).toBeCloseTo(value, 12);
    expect(parseMassKg(text).resolution).toBeCloseTo(resolution, 12);
  });
});

describe("parseMassKg, parseLengthM, parseVolumeM3", () => {
  it.each([
    { parse: parseMassKg, what: "a mass", units: "kg, g, t, lb, lbs, oz", example: "12.5kg or 27.6lb" },
    { parse: parseLengthM, what: "a length", units: "mm, cm, m, in, ft", example: "120mm or 4.75in" },
    {
      ...{ parse: parseVolumeM3, what: "a volume", units: "mm3, cm3, ml, l, m3, in3, ft3" },
      example: "1370cm3 or 83.6in3",
    },
  ])(
    "$parse.name names $what, every unit, and an example that it takes itself",
    ({ parse, what, units, example }) => {
      expect(() => parse("12")).toThrow(
        `"12" is not ${what}; write a number with a decimal point and a unit (${units}), for example ${example}`,
      );
      for (const text of example.split(" or ")) expect(parse(text).value).toBeGreaterThan(0);
    },
  );
});

describe("isMass", () => {
  it("isMass tells kilograms from metres and tonnes from feet", () => {
    for (const text of ["4.2kg", "9 lb", "1t", "3oz "]) expect(isMass(text)).toBe(true);
    for (const text of ["120mm", "1ft", "4", "", "5constructor"]) expect(isMass(text)).toBe(false);
  });
});

describe("parseLengthM, parseVolumeM3, metresPer", () => {
  it("parseLengthM takes millimetres and inches (25.4 mm exactly)", () => {
    expect(parseLengthM("120mm").value).toBeCloseTo(0.12, 15);
    expect(parseLengthM("4.75in").value).toBeCloseTo(0.12065, 15);
    expect(() => parseLengthM("12kg")).toThrow(/is not a length/);
  });

  it("parseVolumeM3 takes cubic centimetres, litres and cubic inches", () => {
    expect(parseVolumeM3("1370cm3").value).toBeCloseTo(1.37e-3, 15);
    expect(parseVolumeM3("1.37 l").value).toBeCloseTo(1.37e-3, 15);
    expect(parseVolumeM3("1 in³").value).toBeCloseTo(16.387064e-6, 15);
  });

  it("metresPer names the units a mesh may be in", () => {
    expect(metresPer("in")).toBe(0.0254);
    expect(() => metresPer("furlong")).toThrow(/mm, cm, m, in, ft/);
    expect(() => metresPer("toString")).toThrow(/not a unit/);
  });
});

describe("parsePercent, parseContraction, parseTemperatureC", () => {
  it("parsePercent wants the sign, so that 1 and 100 cannot be confused", () => {
    expect(parsePercent("1.5%").value).toBeCloseTo(0.015, 15);
    for (const text of ["1.5", "%", "-1%", "1,5%", "1.5% of it", "1.5%%", "about 1%"])
      expect(() => parsePercent(text)).toThrow(/not a percentage/);
  });

  it.each([
    ["2%", 0.02, 0.005],
    ["12.25 % ", 0.1225, 0.00005],
    [".5%", 0.005, 0.0005],
    [".25%", 0.0025, 0.00005],
    ["3.%", 0.03, 0.005],
  ])("parsePercent(%j) is %d, written to %d", (text, value, resolution) => {
    expect(parsePercent(text).value).toBeCloseTo(value, 15);
    expect(parsePercent(text).resolution).toBeCloseTo(resolution, 15);
  });

  it("parseContraction(inches per foot) is written to half of the fraction's own unit, with or without spaces", () => {
    for (const text of ["3/16in/ft", " 3/16 in / ft "]) {
      expect(parseContraction(text).resolution).toBeCloseTo(0.5 / 16 / 12, 15);
    }
    expect(parseContraction("13/64in/ft").value).toBeCloseTo(13 / 64 / 12, 15);
    for (const text of ["about 3/16in/ft", "x3/16in/ft", "3/16in/ft!", "3/16in/ft or so"])
      expect(() => parseContraction(text)).toThrow(/not a percentage/);
  });

  it.each([
    ["20C", 20, 0.5],
    ["20.25 C", 20.25, 0.005],
    ["21.5 ° C ", 21.5, 0.05],
    ["68.0F", 20, 0.05 / 1.8],
    ["-273.15C", -273.15, 0.005],
  ])("parseTemperatureC(%j) is %d, written to %d", (text, value, resolution) => {
    expect(parseTemperatureC(text).value).toBeCloseTo(value, 12);
    expect(parseTemperatureC(text).resolution).toBeCloseTo(resolution, 15);
  });

  it("parseContraction takes per cent, or inches per foot as contraction rules are marked", () => {
    expect(parseContraction("3/16in/ft").value).toBeCloseTo(0.015625, 15);
    expect(parseContraction("1.3%").value).toBeCloseTo(0.013, 15);
    expect(() => parseContraction("3/0in/ft")).toThrow(/divides by nothing/);
    expect(() => parseContraction("3/16")).toThrow(/not a percentage/);
  });

  it("parseTemperatureC takes degrees C and F: 68 F is 20 C, -40 is both", () => {
    expect(parseTemperatureC("68F").value).toBeCloseTo(20, 12);
    expect(parseTemperatureC("-40F").value).toBeCloseTo(-40, 12);
    expect(parseTemperatureC("-5 °C").value).toBe(-5);
    for (const text of ["20", "20K", "warm", "at 20C", "20C or so", "20C!", "20.xC"])
      expect(() => parseTemperatureC(text)).toThrow(/not a temperature/);
    expect(() => parseTemperatureC("-300C")).toThrow(/absolute zero/);
  });
});
