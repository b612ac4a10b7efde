import { describe, expect, it } from "vitest";
import {
  densityText,
  lengthText,
  massText,
  temperatureText,
  volumeText,
  weighOut,
} from "../../../src/report/plan/units.ts";

const plain = (text: string): string => text.replaceAll("\u00a0", " ");

describe("massText, lengthText, volumeText, densityText, temperatureText", () => {
  it("massText, lengthText leave the dash where nothing is known", () => {
    expect(massText(null, "metric")).toBe("–");
    expect(lengthText(null, "us")).toBe("–");
  });

  // Pound 0.45359237 kg, inch 25.4 mm, exactly (1959 agreement).
  it("they write SI values in the reader's units", () => {
    expect(plain(massText({ value: 0.45359237, ci95: 0.0045 }, "us"))).toBe("1.0000 ± 0.0099 lb");
    expect(plain(massText({ value: 12, ci95: 0.16 }, "metric"))).toBe("12.00 ± 0.16 kg");
    expect(plain(massText({ value: 0.812, ci95: 0.0005 }, "metric"))).toBe("812.00 ± 0.50 g");
    expect(plain(lengthText({ value: 0.0254, ci95: 0.000254 }, "us"))).toBe("1.000 ± 0.010 in");
    expect(plain(lengthText({ value: 0.12, ci95: 0.0012 }, "metric"))).toBe("120.0 ± 1.2 mm");
    expect(plain(volumeText({ value: 16.387064e-6, ci95: 1.6387064e-7 }, "us"))).toBe("1.000 ± 0.010 in³");
    expect(plain(volumeText({ value: 94e-6, ci95: 0.7e-6 }, "metric"))).toBe("94.00 ± 0.70 cm³");
    // 0.318 lb/in3 is listed beside 8802 kg/m3 on the C91300 sheet.
    expect(plain(densityText({ value: 8802, ci95: 28 }, "us"))).toBe("0.3180 ± 0.0010 lb/in³");
    expect(plain(temperatureText(20, "us"))).toBe("68 °F");
    expect(plain(temperatureText(20, "metric"))).toBe("20 °C");
  });
});

describe("weighOut", () => {
  it("weighOut writes grams below 2 kg and kilograms above, all of a table alike", () => {
    expect(plain(weighOut(1.9, "metric")(0.125))).toBe("125.0 g");
    expect(plain(weighOut(15.6, "metric")(0.125))).toBe("0.125 kg");
  });

  it("weighOut writes ounces to the hundredth below five pounds", () => {
    expect(plain(weighOut(2, "us")(0.45359237 / 16))).toBe("1.00 oz");
  });

  it("weighOut writes pounds and ounces, never sixteen ounces", () => {
    expect(plain(weighOut(9, "us")(0.45359237))).toBe("1 lb 0.0 oz");
    expect(plain(weighOut(9, "us")(0.45359237 * 0.99999))).toBe("1 lb 0.0 oz");
    expect(plain(weighOut(9, "us")(0.45359237 * 1.5))).toBe("1 lb 8.0 oz");
  });
});
