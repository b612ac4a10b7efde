import { describe, expect, it } from "vitest";
import { type Line, subtractLine } from "../../src/partials/line.ts";
import { BinSteps } from "../../src/partials/search.ts";
import { Skirts } from "../../src/partials/skirts.ts";
import { lineOf } from "./lines.ts";

const FS = 48000;

function transformOf(size: number) {
  const bins = size / 2 + 1;
  return {
    size,
    bins,
    stepRe: Float64Array.from({ length: bins }, (_, k) => Math.cos((2 * Math.PI * k) / size)),
    stepIm: Float64Array.from({ length: bins }, (_, k) => -Math.sin((2 * Math.PI * k) / size)),
    re: new Float64Array(bins),
    im: new Float64Array(bins),
  };
}

const line = (frequencyHz: number, alpha: number) =>
  lineOf({ frequencyHz, alpha, cRe: Float64Array.of(0.2), cIm: Float64Array.of(-0.1) });

/** The largest difference from taking every line off bin by bin, over the sum of the lines' sizes there. */
function worst(size: number, lines: Line[], reach: [number, number]): number {
  const { bins, stepRe, stepIm, re, im } = transformOf(size);
  new Skirts(size, FS, new BinSteps(size)).subtract(lines, 0, () => reach, re, im);
  const skirts = new Float64Array(bins);
  for (const one of lines) {
    const directRe = new Float64Array(bins);
    const directIm = new Float64Array(bins);
    subtractLine(one, 0, size, FS, stepRe, stepIm, reach[0], Math.min(reach[1], bins), directRe, directIm);
    for (let k = 0; k < bins; k++) {
      re[k] -= directRe[k];
      im[k] -= directIm[k];
      skirts[k] += Math.hypot(directRe[k], directIm[k]);
    }
  }
  let largest = 0;
  for (let k = 0; k < bins; k++) {
    const error = Math.hypot(re[k], im[k]);
    if (error > 0) largest = Math.max(largest, error / Math.max(skirts[k], 1e-12));
  }
  return largest;
}

// Remainder of Chebyshev's cubic for 1/x eight segments off, 2 (1/32)^4 = 1.9e-6; the real and the imaginary part each, and the image.
const TOLERANCE = 2 * 2 * (1 / 32) ** 4;

describe("Skirts", () => {
  it("Skirts(no lines) leaves the bins as they are", () => {
    const { re, im } = transformOf(4096);
    re.fill(3);
    new Skirts(4096, FS, new BinSteps(4096)).subtract([], 0, () => [0, 2049], re, im);
    expect(re.every((x) => x === 3) && im.every((x) => x === 0)).toBe(true);
  });

  it("Skirts of slow, fast, low and high lines are those of every bin to within the cubic's remainder", () => {
    const lines = [
      line(52, 0.3),
      line(440, 1),
      line(2093.7, 8),
      line(2096.1, 0.7),
      line(9000, 300),
      line(23_500, 2),
    ];
    expect(worst(2 ** 17, lines, [0, 2 ** 16 + 1])).toBeLessThan(TOLERANCE);
    expect(worst(3 * 2 ** 14, lines, [0, 3 * 2 ** 13 + 1])).toBeLessThan(TOLERANCE);
  });

  it("Skirts in a transform of a few segments are exact", () => {
    expect(worst(256, [line(1000, 40), line(15_000, 90)], [0, 129])).toBeLessThan(1e-12);
  });

  it("Skirts keep to the reach of a line, however it lies to the segments", () => {
    for (const reach of [
      [0, 10],
      [70, 75],
      [1000, 9001],
      [63, 32_769],
    ] as [number, number][]) {
      expect(worst(2 ** 16, [line(1500, 1)], reach)).toBeLessThan(TOLERANCE);
    }
  });
});
