import { describe, expect, it } from "vitest";
import { nearest } from "../../src/cli/nearest.ts";

describe("nearest", () => {
  it("nearest(word, []) is null, and so is a word unlike all", () => {
    expect(nearest("bash", [])).toBeNull();
    expect(nearest("", ["bash"])).toBeNull();
    expect(nearest("xylophone", ["bash", "zsh", "fish"])).toBeNull();
  });

  it("nearest(word, candidates) forgives one slip in a short word and a third of a long one", () => {
    expect(nearest("bsh", ["bash", "fish"])).toBe("bash");
    expect(nearest("minor-thrid", ["major-third", "minor-third"])).toBe("minor-third");
  });
});
