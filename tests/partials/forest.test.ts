import { describe, expect, it } from "vitest";
import { overForest, standsOut } from "../../src/partials/forest.ts";
import { lineOf } from "./lines.ts";

const at = (frequencyHz: number, rho: number) => lineOf({ frequencyHz, alpha: 2, rho });

describe("standsOut", () => {
  it("standsOut(a line without junk) does", () => {
    expect(standsOut(at(800, 60), [])).toBe(true);
  });

  it("standsOut asks for ten times the energy of junk within an octave to either side, and for nothing beyond", () => {
    const line = at(800, 1000);
    expect(standsOut(line, [at(810, 99)])).toBe(true);
    expect(standsOut(line, [at(810, 101)])).toBe(false);
    expect(standsOut(line, [at(401, 101)])).toBe(false);
    expect(standsOut(line, [at(1599, 101)])).toBe(false);
    expect(standsOut(line, [at(399, 1e6), at(1601, 1e6)])).toBe(true);
  });
});

describe("overForest", () => {
  const same = (line: ReturnType<typeof at>) => line;

  it("overForest(nothing) is empty, and without junk all stay, in their order", () => {
    expect(overForest([], [at(800, 20)], same)).toEqual([]);
    const lines = [at(900, 500), at(800, 60), at(1000, 70)];
    expect(overForest(lines, [], same)).toEqual(lines);
  });

  it("overForest lets a forest grow up to the gap in level under the partials", () => {
    const partial = at(800, 1e5);
    // Each is within 10 dB of the one before it; the partial stands 14 dB over the last.
    const forest = [at(820, 150), at(840, 900), at(780, 4000)];
    expect(overForest([partial, ...forest], [at(790, 20)], same)).toEqual([partial]);
    // The same in any order: the weakest is judged first.
    expect(overForest([...forest.toReversed(), partial], [at(790, 20)], same)).toEqual([partial]);
  });
});
