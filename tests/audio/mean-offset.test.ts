import { expect, test } from "vitest";
import { meanOffset } from "../../src/audio/index.ts";

test("meanOffset of no sample is null", () => {
  expect(meanOffset(new Float32Array(0))).toBeNull();
});

test("meanOffset is the mean, and does not lose small values in a long sum", () => {
  expect(meanOffset(Float32Array.of(1, 2, 6))).toBe(3);
  // 0.1 as float32, a million times: a sum in float32 would be off by a part in a thousand
  const tenth = Math.fround(0.1);
  expect(meanOffset(new Float32Array(1e6).fill(0.1))).toBeCloseTo(tenth, 12);
});
