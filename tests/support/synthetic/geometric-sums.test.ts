import { expect, it } from "vitest";
import { geometricSums } from "./geometric-sums.ts";

it("geometricSums(decay, turn, count) is the sum written out, for any count, also with no decay", () => {
  for (const count of [0, 1, 2, 3, 7, 64, 1000]) {
    for (const [decay, turn] of [
      [0, 0],
      [0, 0.3],
      [1e-9, 1e-7],
      [1e-4, -2e-3],
      [0.02, 1.1],
      [3, -2],
    ]) {
      const direct = new Float64Array(6);
      for (let n = 0; n < count; n++) {
        for (let k = 0; k < 3; k++) {
          direct[2 * k] += n ** k * Math.exp(-decay * n) * Math.cos(turn * n);
          direct[2 * k + 1] -= n ** k * Math.exp(-decay * n) * Math.sin(turn * n);
        }
      }
      const sums = geometricSums(decay, turn, count, new Float64Array(6));
      // Rounding: at most count terms of at most count^k, a few ulp each.
      direct.forEach((d, i) => {
        expect(Math.abs(sums[i] - d)).toBeLessThanOrEqual(8 * 2.3e-16 * count ** (1 + (i >> 1)));
      });
    }
  }
});
