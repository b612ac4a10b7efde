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

describe("findLines, where it ends and what it leaves", () => {
  const known = ({ frequencyHz, alpha, amplitude }: RingLine) =>
    lineOf({ frequencyHz, alpha, cRe: Float64Array.of(amplitude / 2) });

  it("findLines(beyond its last pass) does nothing and says so", () => {
    const search = openerOf(ringDownOf(BELL, 17))(0, 0)!;
    expect(findLines(search, 8)).toBe("pass limit");
    expect(search.lines).toEqual([]);
  });

  it("findLines(more lines than a bell has) stops at its limit", () => {
    const comb = Array.from({ length: 90 }, (_, i) => ({
      frequencyHz: 100 + 40 * i,
      alpha: 4,
      amplitude: 0.01,
    }));
    const search = openerOf(ringDownOf(comb, 18, 2))(0, 0)!;
    search.lines = comb.map(known);
    expect(findLines(search)).toBe("line limit");
  });

  it("findLines(a search that does not grow) still finds the lines that stand apart, the weak one among them", () => {
    const apart = [BELL[0], BELL[3], BELL[4]];
    const search = openerOf(ringDownOf(apart, 19))(0, 0)!;
    search.growing = false;
    expect(findLines(search)).toBe("nothing new stands out");
    expect(hertz(search.lines).map(Math.round)).toEqual([500, 530, 2500]);
  });

  it("findLines drops a line that is not in the recording, and one as fast as a click", () => {
    const search = openerOf(ringDownOf([BELL[0], { frequencyHz: 2000, alpha: 3000, amplitude: 0.5 }], 20))(
      0,
      0,
    )!;
    search.lines = [lineOf({ frequencyHz: 1700, alpha: 3 }), lineOf({ frequencyHz: 2000, alpha: 1400 })];
    findLines(search);
    for (const line of search.lines) {
      expect(line.rho).toBeGreaterThan(6);
      expect(line.alpha).toBeLessThan(0.93 * 1500);
    }
    expect(hertz(search.lines).some((f) => Math.abs(f - 500) < 0.1)).toBe(true);
  });

  it("findLines(lines known from elsewhere) takes them off before it looks for more", () => {
    const search = openerOf(ringDownOf(BELL.slice(0, 2), 21))(0, 0)!;
    search.lines = [known(BELL[0])];
    findLines(search, 1);
    expect(hertz(search.lines).map(Math.round)).toEqual([500, 900]);
  });
});

describe("settleLines", () => {
  const settled = (ring: RingLine[], seed: number, ...more: Partial<Line>[]) => {
    const search = openerOf(ringDownOf(ring, seed))(0, 0)!;
    findLines(search);
    for (const values of more) {
      search.lines.push({
        ...lineOf({ frequencyHz: 1700, alpha: 3, cRe: Float64Array.of(1e-6) }),
        ...values,
      });
    }
    return search;
  };
  const at = (frequencyHz: number) => 2 * Math.PI * frequencyHz;

  it.each<[string, Partial<Line>]>([
    ["weak", { rho: 299 }],
    ["of a frequency not known to 0.4 of its decay rate", { rho: 1e4, sdOmega: 1.3 }],
    ["faster than 500 /s", { rho: 1e4, alpha: 501 }],
  ])("settleLines asks of a line that is %s what it explains", (_, values) => {
    const search = settled(BELL.slice(0, 1), 22, values);
    settleLines(search);
    expect(hertz(search.lines).map(Math.round)).toEqual([500]);
  });

  it("settleLines does not ask it of a line that is strong and well known", () => {
    const search = settled(BELL.slice(0, 1), 22, { rho: 301, sdOmega: 1.1 });
    settleLines(search);
    expect(search.lines.length).toBe(2);
  });

  it("settleLines takes two needless lines out of one neighbourhood, and the true one stays with its errors", () => {
    const search = settled(BELL.slice(0, 1), 23, { omega: at(503), rho: 20 }, { omega: at(497), rho: 10 });
    settleLines(search);
    expect(hertz(search.lines).map(Math.round)).toEqual([500]);
    const [line] = search.lines;
    expect(Math.abs(line.omega - at(500))).toBeLessThan(5 * line.sdOmega);
    // sd(omega) = alpha sqrt(2 / rho), as of one line alone.
    expect(line.sdOmega / (1.5 * Math.sqrt(2 / line.rho))).toBeLessThan(1.2);
  });

  it("settleLines keeps a weak line that the recording needs, alone or beside a louder one", () => {
    // Four times the 15 nats that a line must bring.
    const weak = (frequencyHz: number): RingLine => ({ frequencyHz, alpha: 3, amplitude: 4.3e-5 });
    expect(rhoOf(weak(1200))).toBeCloseTo(61.6, 0);
    const search = settled([BELL[1], weak(1200), weak(906)], 24);
    settleLines(search);
    expect(hertz(search.lines).map(Math.round)).toEqual([900, 906, 1200]);
  });

  it("settleLines lets a neighbourhood that was misfitting stay so when it drops a line from it", () => {
    const search = settled([BELL[1], BELL[2]], 25, { omega: at(904), rho: 20 });
    expect(search.lines.length).toBe(3);
    search.lines[0].misfitting = true;
    search.lines[1].misfitting = false;
    settleLines(search);
    expect(search.lines.map((l) => l.misfitting)).toEqual([true, true]);
  });
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
