import { describe, expect, it } from "vitest";
import { copyPoles } from "../../src/partials/band.ts";

describe("copyPoles", () => {
  it("copyPoles(poles) are the same values in arrays of their own", () => {
    const poles = { alpha: Float64Array.of(1, 2), omega: Float64Array.of(100, 200) };
    const copy = copyPoles(poles);
    expect(copy).toEqual(poles);
    copy.alpha[0] = 9;
    copy.omega[1] = 9;
    expect(poles).toEqual({ alpha: Float64Array.of(1, 2), omega: Float64Array.of(100, 200) });
  });
});
