import { describe, expect, test } from "vitest";
import {
  countOf,
  estimateText,
  listOf,
  noFiner,
  plainNumber,
  shorten,
  signedEstimateText,
} from "../../src/report/numbers.ts";

const estimate = (value: number, ci95: number) => ({ value, ci95 });

describe("estimateText", () => {
  test("estimateText(null) is a dash, never a number", () => {
    expect(estimateText(null, "Hz")).toBe("\u2013");
    expect(signedEstimateText(null, "cents")).toBe("\u2013");
    expect(plainNumber(null, 1)).toBe("\u2013");
  });

  test("estimateText(estimate, unit) keeps value, interval and unit on one line, with a true minus", () => {
    expect(estimateText(estimate(-12.34, 0.5), "dB")).toBe("\u221212.34\u00a0\u00b1\u00a00.50\u00a0dB");
  });

  test("estimateText(estimate) throws where the measurement broke its promise of finite numbers", () => {
    expect(() => estimateText(estimate(Number.NaN, 1))).toThrow(RangeError);
  });
});

describe("signedEstimateText", () => {
  test.each([
    [estimate(3, 0.5), "+3.00\u00a0\u00b1\u00a00.50"],
    [estimate(-3, 0.5), "\u22123.00\u00a0\u00b1\u00a00.50"],
    [estimate(0, 0.5), "0.00\u00a0\u00b1\u00a00.50"],
    [estimate(3e-5, 1e-6), "(+3.00\u00a0\u00b1\u00a00.10)\u00a0\u00d7\u00a010\u207b\u2075"],
  ])("signedEstimateText(%j) is %j", (value, text) => {
    expect(signedEstimateText(value)).toBe(text);
  });
});

describe("noFiner", () => {
  test("noFiner(estimate, least) widens a narrow interval, never narrows one, and leaves an exact value exact", () => {
    expect(noFiner(estimate(1, 0.001), 0.1)).toEqual(estimate(1, 0.1));
    expect(noFiner(estimate(1, 2), 0.1)).toEqual(estimate(1, 2));
    expect(noFiner(estimate(1, 0), 0.1)).toEqual(estimate(1, 0));
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
