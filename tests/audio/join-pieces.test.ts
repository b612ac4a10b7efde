import { expect, test } from "vitest";
import { joinPieces } from "../../src/audio/join-pieces.ts";

test("joinPieces of none is no channel", () => {
  expect(joinPieces([])).toEqual([]);
});

test("joinPieces puts the pieces of each channel end to end", () => {
  const pieces = [
    [Float32Array.of(1, 2), Float32Array.of(5, 6)],
    [Float32Array.of(3), Float32Array.of(7)],
  ];
  expect(joinPieces(pieces)).toEqual([Float32Array.of(1, 2, 3), Float32Array.of(5, 6, 7)]);
});
