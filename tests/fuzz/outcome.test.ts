import { describe, expect, it } from "vitest";
import { expectSentence } from "./outcome.ts";

describe("expectSentence", () => {
  it.each([
    "at Object.check (src/cli/run.ts:49:7)",
    "at file:///home/a/dist/ringwright.mjs:12:3",
    "at node:fs:441:10",
    "at eval (eval:1:2)",
    "the value is [object Object]",
    "a fault of the tool",
    "",
    "two\nlines",
  ])("expectSentence(%j) throws", (text) => {
    expect(() => expectSentence(text)).toThrow();
  });

  it("expectSentence takes what a file says of ratios for no trace", () => {
    expectSentence('profile: the id "modes 4, 5, 6 lie at 81 : 121 : 169 (read as 81:121:169)" is too long');
  });
});
