import { describe, expect, it } from "vitest";
import { checkLosses } from "../../src/foundry/balance.ts";

describe("checkLosses", () => {
  it("checkLosses takes nothing lost, and less than all", () => {
    expect(() => checkLosses({ Cu: 0, Zn: 0.99 })).not.toThrow();
  });

  it.each([
    [Number.NaN, "NaN"],
    [-0.01, "-1"],
    [1, "100"],
    [1.5, "150"],
  ])("checkLosses(a loss of %d) says the loss in per cent", (loss, said) => {
    expect(() => checkLosses({ Cu: 0, Sn: loss })).toThrow(
      `a melting loss of Sn must be 0 % or more and below 100 %; ${said} % is not`,
    );
  });
});
