import { describe, expect, test } from "vitest";
import {
  countOf,
  estimateText,
  evidenceText,
  listOf,
  plainNumber,
  shorten,
  signedEstimateText,
  twoDigits,
} from "../../src/report/numbers.ts";

const estimate = (value: number, ci95: number) => ({ value, ci95 });

describe("estimateText", () => {
  test("estimateText(null) is a dash, never a number", () => {
    expect(estimateText(null, "frequency", "Hz")).toBe("\u2013");
    expect(signedEstimateText(null, "cents", "cents")).toBe("\u2013");
    expect(plainNumber(null, 1)).toBe("\u2013");
  });

  test("estimateText(estimate, unit) keeps value, interval and unit on one line, with a true minus", () => {
    expect(estimateText(estimate(-12.34, 0.5), "level", "dB")).toBe(
      "\u221212.34\u00a0\u00b1\u00a00.50\u00a0dB",
    );
  });

  test("estimateText(estimate) throws where the measurement broke its promise of finite numbers", () => {
    expect(() => estimateText(estimate(Number.NaN, 1), "other")).toThrow(RangeError);
  });
});

describe("signedEstimateText", () => {
  test.each([
    [estimate(3, 0.5), "+3.00\u00a0\u00b1\u00a00.50"],
    [estimate(-3, 0.5), "\u22123.00\u00a0\u00b1\u00a00.50"],
    [estimate(0, 0.5), "0.00\u00a0\u00b1\u00a00.50"],
    // What is nothing as written has no sign.
    [estimate(0.4, 33), "0\u00a0\u00b1\u00a033"],
    [estimate(0.06, 0.2), "+0.06\u00a0\u00b1\u00a00.20"],
    [estimate(3e-5, 1e-6), "(+3.00\u00a0\u00b1\u00a00.10)\u00a0\u00d7\u00a010\u207b\u2075"],
  ])("signedEstimateText(%j) is %j", (value, text) => {
    expect(signedEstimateText(value, "other")).toBe(text);
  });
});

describe("evidenceText", () => {
  test("evidenceText(evidence) has the unit behind, an interval where there is one, else four digits", () => {
    const number = (value: number, ci95: number | null, unit: string) =>
      evidenceText({ kind: "number", label: "x", value, ci95, unit });
    expect(number(-1.23456, null, "cents")).toBe("\u22121.235\u00a0cents");
    expect(number(1234567, null, "")).toBe("1234567");
    expect(number(5, 0.001, "cents")).toBe("5.00\u00a0\u00b1\u00a00.10\u00a0cents");
  });
});

describe("twoDigits", () => {
  test("twoDigits(value) is a dash for null, and two digits with a true minus", () => {
    expect([null, 0, -0.01234, 987, 2.84e9].map(twoDigits)).toEqual([
      ...["\u2013", "0", "\u22120.012", "990", "2.8\u00a0\u00d7\u00a010\u2079"],
    ]);
  });
});

describe("small words", () => {
  test("listOf(words) reads as a list", () => {
    expect([listOf([]), listOf(["a"]), listOf(["a", "b"]), listOf(["a", "b", "c"])]).toEqual([
      "",
      "a",
      "a and b",
      "a, b and c",
    ]);
  });

  test("countOf(n, word) counts", () => {
    expect([countOf(0, "strike"), countOf(1, "strike"), countOf(2, "strike")]).toEqual([
      "0 strikes",
      "1 strike",
      "2 strikes",
    ]);
  });

  test("shorten(value, digits) rounds to significant digits", () => {
    expect(shorten(1234.56789, 6)).toBe(1234.57);
    expect(shorten(-0.00012349, 3)).toBe(-0.000123);
  });
});
