import { describe, expect, it } from "vitest";
import { settleLines } from "../../src/partials/find-lines.ts";
import type { Line } from "../../src/partials/line.ts";
import { updateResidual } from "../../src/partials/residual.ts";
import { lateSearches } from "../../src/partials/ring-down.ts";
import { cloneLine, movedLine, stabilise } from "../../src/partials/stabilise.ts";
import { lineOf } from "./lines.ts";
import { openerOf, RING_RATE_HZ, type RingLine, ringDownOf } from "./rings.ts";

const PAIR: RingLine[] = [
  { frequencyHz: 900, alpha: 3, amplitude: 0.1 },
  { frequencyHz: 2100, alpha: 6, amplitude: 0.05 },
];

/** The lines fitted to the ring, and what stabilise keeps of them. */
function stabilised(ring: ReturnType<typeof ringDownOf>, lines: Line[]) {
  const open = openerOf(ring);
  const search = open(0, 0)!;
  search.lines = lines;
  updateResidual(search, false);
  settleLines(search);
  return { fitted: search.lines, kept: stabilise(search, lateSearches(search, 0, open)) };
}

describe("cloneLine", () => {
  it("cloneLine copies every value and shares no coefficient", () => {
    const line = lineOf({ frequencyHz: 440, alpha: 2, cIm: Float64Array.of(0.3) });
    const clone = cloneLine(line);
    expect(clone).toEqual(line);
    clone.cRe[0] = 9;
    clone.cIm[0] = 9;
    expect([line.cRe[0], line.cIm[0]]).toEqual([0.1, 0.3]);
  });
});

describe("movedLine", () => {
  it("movedLine(a whole turn and an eighth, later) has its coefficient turned by 45 degrees and fallen as it decays", () => {
    const line = lineOf({
      frequencyHz: 100,
      alpha: 40,
      cRe: Float64Array.of(0, 1),
      cIm: Float64Array.of(2, 0),
    });
    const byS = 1.125 / 100;
    const { cRe, cIm, ...rest } = movedLine(line, byS);
    // j 2 turned by 45 degrees is sqrt 2 (-1 + j); 1 is (1 + j) / sqrt 2. Rounding only: some units of 2^-53.
    const fall = Math.exp(-0.45);
    const half = Math.SQRT1_2 * fall;
    expect(cRe[0]).toBeCloseTo(-2 * half, 13);
    expect(cIm[0]).toBeCloseTo(2 * half, 13);
    expect(cRe[1]).toBeCloseTo(half, 13);
    expect(cIm[1]).toBeCloseTo(half, 13);
    expect(rest).toEqual({ ...line, cRe: undefined, cIm: undefined } as unknown);
    expect(Array.from(line.cIm)).toEqual([2, 0]);
  });

  it("movedLine(and back) is the same line", () => {
    const line = lineOf({ frequencyHz: 321, alpha: 7, cIm: Float64Array.of(-0.2) });
    const back = movedLine(movedLine(line, 0.3), -0.3);
    expect(back.cRe[0]).toBeCloseTo(0.1, 12);
    expect(back.cIm[0]).toBeCloseTo(-0.2, 12);
  });
});

describe("stabilise", () => {
  it("stabilise(no lines) keeps none", () => {
    expect(stabilised(ringDownOf(PAIR, 1), []).kept).toEqual([]);
  });

  it("stabilise(free decays) keeps every line, as first fitted, settled, and says from when it was had again", () => {
    const near = PAIR.map(({ frequencyHz, alpha }) =>
      lineOf({ frequencyHz, alpha, cRe: Float64Array.of(0) }),
    );
    const { fitted, kept } = stabilised(ringDownOf(PAIR, 2), near);
    expect(kept.length).toBe(2);
    kept.forEach((stable, i) => {
      expect(stable.settled).toBe(true);
      expect(stable.delayS).toBe(0);
      expect(stable.early).toEqual({ line: stable.line, delayS: 0 });
      expect(stable.line).toEqual(fitted[i]);
      // The scatter is added only beyond two errors of the later fit: none to speak of here.
      expect(stable.sdOmega).toBeGreaterThanOrEqual(stable.line.sdOmega);
      expect(stable.sdAlpha).toBeGreaterThanOrEqual(stable.line.sdAlpha);
      expect(stable.sdOmega).toBeLessThan(0.01 * stable.line.alpha);
    });
    // 0.35 decay constants are 117 and 58 ms: of 10 ms times a power of two, 80 and 40 lie nearest below.
    expect(kept.map((stable) => stable.seenIn)).toEqual([
      ["the ring from 80 ms later"],
      ["the ring from 40 ms later"],
    ]);
  });

  it("stabilise(a line that is not in the ring) does not settle it, alone or beside one that is", () => {
    // As loud as the true line and as sure of itself, at 2100 Hz and within two linewidths of 900 Hz.
    const open = openerOf(ringDownOf(PAIR.slice(0, 1), 3));
    const settledOf = (falseHz: number) => {
      const search = open(0, 0)!;
      const own = lineOf({ frequencyHz: 900, alpha: 3, cRe: Float64Array.of(0.05) });
      search.lines = [own, lineOf({ frequencyHz: falseHz, alpha: 3, cRe: Float64Array.of(0.05) })];
      const settled = stabilise(search, lateSearches(search, 0, open)).filter((stable) => stable.settled);
      return settled.map(({ line }) => Math.round(line.omega / (2 * Math.PI)));
    };
    expect(settledOf(2100)).toEqual([900]);
    expect(settledOf(902)).toEqual([900]);
  });

  it("stabilise(a frequency that goes on gliding) keeps it as a visible peak that does not settle, with a wide interval", () => {
    // From 900 Hz up by 4 Hz a second: 0.4 % of the frequency over the second of its decay, over two linewidths.
    const ring = ringDownOf([], 4, 3, (x) => {
      for (let n = 0; n < x.length; n++) {
        const t = n / RING_RATE_HZ;
        x[n] += 0.1 * Math.exp(-1.5 * t) * Math.cos(2 * Math.PI * (900 * t + 2 * t * t));
      }
    });
    const { kept } = stabilised(ring, [lineOf({ frequencyHz: 900.5, alpha: 1.5, cRe: Float64Array.of(0) })]);
    expect(kept.length).toBe(1);
    expect(kept[0].settled).toBe(false);
    expect(kept[0].seenIn).toEqual([]);
    expect(kept[0].sdOmega).toBeGreaterThan(kept[0].line.sdOmega);
  });

  it("stabilise(two lines that stand for one gliding frequency) keeps the stronger as a peak, not both", () => {
    const ring = ringDownOf([], 5, 3, (x) => {
      for (let n = 0; n < x.length; n++) {
        const t = n / RING_RATE_HZ;
        x[n] += 0.1 * Math.exp(-1.5 * t) * Math.cos(2 * Math.PI * (900 * t + 2 * t * t));
      }
    });
    const pair = [900.3, 902].map((frequencyHz) =>
      lineOf({ frequencyHz, alpha: 1.5, cRe: Float64Array.of(0) }),
    );
    const { fitted, kept } = stabilised(ring, pair);
    expect(fitted.length).toBe(2);
    expect(kept.filter((stable) => stable.settled)).toEqual([]);
    expect(kept.length).toBe(1);
  });

  it("stabilise(a slow line) asks a later start in seconds; a short record bounds how late", () => {
    const seenIn = (alpha: number, seconds: number) => {
      const line = { frequencyHz: 900, alpha, amplitude: 0.1 };
      const near = [lineOf({ frequencyHz: 900, alpha, cRe: Float64Array.of(0) })];
      return stabilised(ringDownOf([line], 6, seconds), near).kept.map((stable) => stable.seenIn[0]);
    };
    // 0.35 decay constants of 5 s are 1.75 s: 1.28 s lies below. Of a record of 1.5 s a third is half a second: 0.32 s.
    expect(seenIn(0.2, 6)).toEqual(["the ring from 1.3 s later"]);
    expect(seenIn(0.2, 1.5)).toEqual(["the ring from 320 ms later"]);
  });
});

describe("stabilise, what it asks of the later fit", () => {
  const LINE: RingLine = { frequencyHz: 900, alpha: 4, amplitude: 0.1 };
  const DELAY_S = 0.08;

  /** A line found in `first`, asked again of the ring that `ringAt` has for a delay; null where nothing is left. */
  function judged(first: RingLine[], ringAt: (delayS: number) => RingLine[] | null) {
    const open = (lines: RingLine[], delayS: number) =>
      openerOf(ringDownOf(lines, 31, 2))(Math.round(delayS * RING_RATE_HZ), 0)!;
    const search = open(first, 0);
    search.lines = first.map(({ frequencyHz, alpha, amplitude }) =>
      lineOf({ frequencyHz, alpha, cRe: Float64Array.of(amplitude / 2) }),
    );
    updateResidual(search, false);
    settleLines(search);
    const asked: number[] = [];
    const kept = stabilise(search, (delayS) => {
      asked.push(delayS);
      const lines = ringAt(delayS);
      if (lines === null) return null;
      const late = open(lines, delayS);
      late.lines = search.lines.map((line) => movedLine(line, delayS));
      return late;
    });
    return { kept, asked, fitted: search.lines };
  }

  it.each([1, -1])(
    "stabilise wants the frequency again within a tenth of the decay rate, %d times",
    (side) => {
      // A rho of some 10^6: errors of a thousandth of the rate, and so much is 1 % of the limit.
      const off = (share: number) => ({
        ...LINE,
        frequencyHz: 900 + (side * share * LINE.alpha) / (2 * Math.PI),
      });
      const { kept } = judged([LINE], () => [off(0.095)]);
      expect(kept.map(({ settled, delayS }) => [settled, delayS])).toEqual([[true, 0]]);
      // What is more than two errors of the later fit is error.
      expect(kept[0].sdOmega / (0.095 * LINE.alpha)).toBeCloseTo(1, 1);
      const beyond = judged([LINE], () => [off(0.105)]).kept;
      expect(beyond.map(({ settled, delayS }) => settled && delayS === 0)).toEqual([false]);
    },
  );

  it("stabilise wants the decay rate again within a tenth of it", () => {
    // Both with the level at 80 ms that the first fit says, for else that would be what is asked of.
    const at = (factor: number): RingLine => {
      const alpha = factor * LINE.alpha;
      return { ...LINE, alpha, amplitude: LINE.amplitude * Math.exp((alpha - LINE.alpha) * DELAY_S) };
    };
    for (const factor of [0.905, 1.095]) {
      const { kept } = judged([LINE], () => [at(factor)]);
      expect(kept.map(({ settled, delayS }) => [settled, delayS])).toEqual([[true, 0]]);
      expect(kept[0].sdAlpha / (0.095 * 4)).toBeCloseTo(1, 1);
    }
    for (const factor of [0.895, 1.105]) {
      expect(
        judged([LINE], () => [at(factor)]).kept.map(({ delayS, settled }) => settled && delayS === 0),
      ).toEqual([false]);
    }
  });

  it("stabilise wants the amplitude to have fallen as the decay says, to 0.2 nepers", () => {
    const settledAt = (nepers: number) =>
      judged([LINE], () => [{ ...LINE, amplitude: LINE.amplitude * Math.exp(nepers) }]).kept.map(
        ({ delayS, settled }) => settled && delayS === 0,
      );
    expect([-0.19, 0.19].map(settledAt)).toEqual([[true], [true]]);
    expect([-0.21, 0.21].map(settledAt)).toEqual([[false], [false]]);
  });

  it("stabilise keeps nothing where nothing is left of the ring to ask", () => {
    expect(judged([LINE], () => null).kept).toEqual([]);
  });

  it("stabilise moves the start on where a line does not settle, and has its values from there", () => {
    // 80 ms on the line is another one, and stays it: from there on it settles.
    const later = { ...LINE, frequencyHz: 900.4 };
    const { kept, asked } = judged([LINE], () => [later]);
    expect(kept.map(({ settled, delayS }) => [settled, delayS])).toEqual([[true, DELAY_S]]);
    expect(kept[0].early).toEqual({ line: kept[0].line, delayS: DELAY_S });
    expect(kept[0].line.omega / (2 * Math.PI)).toBeCloseTo(900.4, 3);
    expect(asked).toEqual([DELAY_S, DELAY_S, 2 * DELAY_S]);
  });

  it("stabilise asks from three starts at the most, and leaves a visible peak that does not settle", () => {
    const { kept, asked, fitted } = judged([LINE], (delayS) => [{ ...LINE, frequencyHz: 900 + 5 * delayS }]);
    expect(Math.max(...asked)).toBeCloseTo(3 * DELAY_S, 9);
    expect(kept.map(({ settled, delayS, seenIn }) => [settled, delayS, seenIn])).toEqual([
      [false, 2 * DELAY_S, []],
    ]);
    expect(kept[0].line.omega / (2 * Math.PI)).toBeCloseTo(900 + 10 * DELAY_S, 2);
    // What the caller holds is as it was.
    expect(fitted[0].omega / (2 * Math.PI)).toBeCloseTo(900, 3);
  });

  it("stabilise drops of a neighbourhood what does not persist, and fits the others without it", () => {
    const pair = [LINE, { ...LINE, frequencyHz: 903, amplitude: 0.05 }];
    const { kept } = judged(pair, (delayS) => (delayS === 0 ? pair : [LINE]));
    expect(kept.map(({ settled }) => settled)).toEqual([true]);
    expect(kept[0].line.omega / (2 * Math.PI)).toBeCloseTo(900, 1);
  });

  it("stabilise, of lines none of which settles, keeps the strongest", () => {
    const pair = [
      { ...LINE, amplitude: 0.05 },
      { ...LINE, frequencyHz: 903 },
    ];
    const { kept } = judged(pair, (delayS) =>
      pair.map((l) => ({ ...l, frequencyHz: l.frequencyHz + 5 * delayS })),
    );
    expect(kept.map(({ settled }) => settled)).toEqual([false]);
    expect(kept[0].line.omega / (2 * Math.PI)).toBeGreaterThan(902);
  });

  it("stabilise takes the lines of other neighbourhoods off the later start", () => {
    // 54 dB under one that is 25 linewidths away, whose skirt there is 20 times as high.
    const loud = { frequencyHz: 868, alpha: 4, amplitude: 0.5 };
    const weak = { ...LINE, amplitude: 0.001 };
    const { kept } = judged([loud, weak], () => [loud, weak]);
    const [own] = kept.filter(({ line }) => line.omega > 2 * Math.PI * 890);
    expect([own.settled, own.delayS]).toEqual([true, 0]);
    expect(own.sdOmega).toBeLessThan(2 * own.line.sdOmega);
  });
});
