import { describe, expect, it } from "vitest";
import { findLines, settleLines } from "../../src/partials/find-lines.ts";
import type { Line } from "../../src/partials/line.ts";
import { lineOf } from "./lines.ts";
import { openerOf, type RingLine, rhoOf, ringDownOf } from "./rings.ts";

/** A loud slow line, a pair of twice their linewidth, a fast line, and a weak one beside the loud one's skirts. */
const BELL: RingLine[] = [
  { frequencyHz: 500, alpha: 1.5, amplitude: 0.1 },
  { frequencyHz: 900, alpha: 3, amplitude: 0.03 },
  { frequencyHz: 902, alpha: 3, amplitude: 0.02 },
  { frequencyHz: 2500, alpha: 30, amplitude: 0.02 },
  { frequencyHz: 530, alpha: 3, amplitude: 0.0004 },
];

const hertz = (lines: Line[]) => lines.map(({ omega }) => omega / (2 * Math.PI)).sort((a, b) => a - b);

describe("findLines", () => {
  it("findLines(noise alone) finds none and says that nothing stands out", () => {
    const search = openerOf(ringDownOf([], 11))(0, 0)!;
    expect(findLines(search)).toBe("nothing new stands out");
    expect(search.lines).toEqual([]);
  });

  it("findLines then settleLines finds every line of a bell, and no other", () => {
    const search = openerOf(ringDownOf(BELL, 12))(0, 0)!;
    expect(findLines(search)).toBe("nothing new stands out");
    settleLines(search);
    const truth = BELL.toSorted((a, b) => a.frequencyHz - b.frequencyHz);
    // The weakest has rho 667, forty times what detection asks for.
    expect(Math.min(...BELL.map(rhoOf))).toBeGreaterThan(600);
    expect(hertz(search.lines).map(Math.round)).toEqual(truth.map(({ frequencyHz }) => frequencyHz));
    const lines = search.lines.toSorted((a, b) => a.omega - b.omega);
    truth.forEach(({ frequencyHz, alpha }, i) => {
      expect(Math.abs(lines[i].omega - 2 * Math.PI * frequencyHz)).toBeLessThan(5 * lines[i].sdOmega);
      expect(Math.abs(lines[i].alpha - alpha)).toBeLessThan(5 * lines[i].sdAlpha);
    });
  });

  it("findLines(a search that may cost nothing) stops at its limit of work after one pass", () => {
    const search = openerOf(ringDownOf(BELL, 13))(0, 0)!;
    search.workLimit = 0;
    expect(findLines(search)).toBe("work limit");
    expect(hertz(search.lines).some((f) => Math.abs(f - 500) < 1)).toBe(true);
  });

  it("findLines(continuing with all lines known) adds none and moves none by more than its error", () => {
    const search = openerOf(ringDownOf(BELL, 14))(0, 0)!;
    findLines(search);
    const before = search.lines.map((line) => structuredClone(line));
    expect(findLines(search, 2)).toBe("nothing new stands out");
    expect(search.lines.length).toBe(before.length);
    before.forEach((line, i) => {
      expect(Math.abs(search.lines[i].omega - line.omega)).toBeLessThan(line.sdOmega);
    });
  });
});

describe("settleLines", () => {
  it("settleLines drops a weak line that explains nothing, alone or beside a true one, and keeps the true ones", () => {
    const search = openerOf(ringDownOf(BELL.slice(0, 2), 15))(0, 0)!;
    findLines(search);
    const spurious = (frequencyHz: number) =>
      lineOf({ frequencyHz, alpha: 3, cRe: Float64Array.of(1e-6), rho: 20 });
    search.lines.push(spurious(1700), spurious(903));
    settleLines(search);
    expect(hertz(search.lines).map(Math.round)).toEqual([500, 900]);
  });

  it("settleLines(no lines) has nothing to do", () => {
    const search = openerOf(ringDownOf([], 16))(0, 0)!;
    settleLines(search);
    expect(search.lines).toEqual([]);
  });
});
