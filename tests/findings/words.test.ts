import { describe, expect, test } from "vitest";
import {
  listWords,
  offsetWords,
  partialCell,
  partialWords,
  sentence,
  shareWords,
  sureMeridians,
} from "../../src/findings/words.ts";
import { estimate, samplePartial } from "../support/sample-parts.ts";

const partial = (name: string | null, nameConfidence: number) =>
  samplePartial(
    { name, nameConfidence, nodalMeridians: 3, frequencyHz: 600, lossFactor: 2e-4, levelDb: 0 },
    500,
  );

describe("partialWords", () => {
  test("partialWords uses a name from 80 % confidence on, else the frequency with its interval", () => {
    expect(partialWords(partial("tierce", 0.8))).toBe("the tierce");
    expect(partialWords(partial("tierce", 0.79))).toBe("the partial at 600.0000 \u00b1 0.0012 Hz");
    expect(partialWords(partial(null, 1))).toBe("the partial at 600.0000 \u00b1 0.0012 Hz");
  });
});

describe("partialCell", () => {
  test("partialCell marks a doubtful name and says where there is none", () => {
    expect([partial("tierce", 0.8), partial("tierce", 0.1), partial(null, 1)].map(partialCell)).toEqual([
      ...["tierce", "tierce?", "unnamed"],
    ]);
  });
});

describe("sureMeridians", () => {
  test("sureMeridians are those of a sure name, or of no name", () => {
    expect([partial("tierce", 0.8), partial("tierce", 0.1), partial(null, 1)].map(sureMeridians)).toEqual([
      3,
      null,
      3,
    ]);
  });
});

describe("offsetWords", () => {
  test("offsetWords leaves the direction open while the interval holds zero", () => {
    expect(offsetWords(estimate(0, 0))).toBe("0 cents off");
    expect(offsetWords(estimate(-1, 2))).toBe("1.0 \u00b1 2.0 cents off");
    expect(offsetWords(estimate(-3, 2))).toBe("3.0 \u00b1 2.0 cents flat");
    expect(offsetWords(estimate(3, 2))).toBe("3.0 \u00b1 2.0 cents sharp");
  });
});

describe("listWords", () => {
  test("listWords joins none, one, two and three", () => {
    expect([[], ["a"], ["a", "b"], ["a", "b", "c"]].map(listWords)).toEqual([
      "",
      "a",
      "a and b",
      "a, b and c",
    ]);
  });
});

describe("shareWords", () => {
  test("shareWords of one says the, of more says how many", () => {
    expect([shareWords(1, 1, "strike"), shareWords(2, 3, "strike")]).toEqual([
      "the strike",
      "2 of 3 strikes",
    ]);
  });
});

describe("sentence", () => {
  test("sentence of nothing is nothing", () => expect(sentence("")).toBe(""));
  test("sentence begins with a capital", () => expect(sentence("the bell")).toBe("The bell"));
});
