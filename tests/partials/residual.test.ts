import { describe, expect, it } from "vitest";
import { updateResidual } from "../../src/partials/residual.ts";
import { lineOf } from "./lines.ts";
import { searchOf, VARIANCE } from "./searches.ts";

describe("updateResidual", () => {
  it("updateResidual(all lines known) leaves every step of the ladder under a tenth of a line's noise", () => {
    const lines = [
      lineOf({ frequencyHz: 60, alpha: 10 }),
      lineOf({ frequencyHz: 1200, alpha: 2 }),
      lineOf({ frequencyHz: 5000, alpha: 300, cRe: Float64Array.of(2) }),
    ];
    const search = searchOf(lines);
    updateResidual(search, false);
    for (const { size, re, im } of search.residual) {
      // A line is taken off as far as its skirt is over a tenth of the noise: what is left of all of them is less than their sum.
      const limit = 0.1 * lines.length * Math.sqrt(size * VARIANCE);
      for (let k = 0; k < re[0].length; k++) expect(Math.hypot(re[0][k], im[0][k])).toBeLessThan(limit);
    }
  });

  it("updateResidual(no lines) is the recording, and can be asked again after lines were found", () => {
    const line = lineOf({ frequencyHz: 700, alpha: 3 });
    const search = searchOf([line]);
    search.lines = [];
    updateResidual(search, false);
    expect(search.residual[0].re[0]).toEqual(search.ladder[0].re[0]);
    search.lines = [line];
    updateResidual(search, false);
    const top = search.ladder[0].re[0].reduce((a, v) => Math.max(a, Math.abs(v)), 0);
    const left = search.residual[0].re[0].reduce((a, v) => Math.max(a, Math.abs(v)), 0);
    expect(left / top).toBeLessThan(1e-3);
  });

  it("updateResidual(renewing the noise) never takes the noise of a short transform under that of the longest", () => {
    const search = searchOf([]);
    const fast = lineOf({ frequencyHz: 3000, alpha: 400 });
    const ringing = searchOf([fast]);
    ringing.lines = [];
    updateResidual(ringing, true);
    for (let l = 1; l < ringing.ladder.length; l++) {
      ringing.noise[l][0].variance.forEach((v, i) => {
        expect(v).toBeGreaterThanOrEqual(ringing.noise[0][0].variance[i]);
      });
    }
    updateResidual(search, true);
    expect(search.noise[0][0].variance.every((v) => v === 0)).toBe(true);
  });
});
