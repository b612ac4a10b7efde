import { describe, expect, test } from "vitest";
import {
  countWords,
  listWords,
  numberWord,
  percentText,
  probabilityWords,
  sentence,
  shiftWords,
} from "../../src/compare/words.ts";
import { estimate } from "../support/sample-parts.ts";

describe("words", () => {
  test("shiftWords(cents) gives size and direction, no finer than a tenth of a cent", () => {
    expect(shiftWords(estimate(37.9941, 0.003))).toBe("37.99 ± 0.10 cents higher");
    expect(shiftWords(estimate(-4, 1))).toBe("4.0 ± 1.0 cents lower");
  });

  test("listWords(items) joins one, two and more, and nothing", () => {
    expect([[], ["a"], ["a", "b"], ["a", "b", "c"]].map(listWords)).toEqual([
      "",
      "a",
      "a and b",
      "a, b and c",
    ]);
  });

  test("numberWord(count) and countWords(count, noun) count", () => {
    expect([0, 1, 10, 11].map(numberWord)).toEqual(["no", "one", "ten", "11"]);
    expect([countWords(1, "strike"), countWords(3, "strike")]).toEqual(["1 strike", "3 strikes"]);
  });

  test("probabilityWords(p) has a floor, percentText(part) two digits, sentence(text) a capital", () => {
    expect([0.2345, 0.001, 0.0009, 0].map(probabilityWords)).toEqual([
      "p = 0.23",
      "p = 0.0010",
      "p < 0.001",
      "p < 0.001",
    ]);
    expect([0.3, 0.0123].map(percentText)).toEqual(["30 %", "1.2 %"]);
    expect(sentence("b rings")).toBe("B rings");
  });
});
