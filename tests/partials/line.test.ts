import { describe, expect, it } from "vitest";
import { candidateLine, type Line, linePower, subtractLine } from "../../src/partials/line.ts";
import { RealFft } from "../../src/spectrum/index.ts";
import { lineOf } from "./lines.ts";

const RATE_HZ = 8000;
const SIZE = 8192;

interface Bins {
  re: Float64Array;
  im: Float64Array;
}

/** Bins of 2 Re(c exp(s t)), sampled and transformed. */
function binsOf(lines: Line[], channel = 0): Bins {
  const x = new Float64Array(SIZE);
  for (const line of lines) {
    for (let n = 0; n < SIZE; n++) {
      const t = n / RATE_HZ;
      const turn = line.omega * t;
      const level = 2 * Math.exp(-line.alpha * t);
      x[n] += level * (line.cRe[channel] * Math.cos(turn) - line.cIm[channel] * Math.sin(turn));
    }
  }
  const re = new Float64Array(SIZE / 2 + 1);
  const im = new Float64Array(SIZE / 2 + 1);
  new RealFft(SIZE).forward(x, 0, re, im);
  return { re, im };
}

const stepRe = Float64Array.from({ length: SIZE / 2 + 1 }, (_, k) => Math.cos((2 * Math.PI * k) / SIZE));
const stepIm = Float64Array.from({ length: SIZE / 2 + 1 }, (_, k) => -Math.sin((2 * Math.PI * k) / SIZE));

function subtract(
  line: Line,
  { re, im }: Bins,
  imageOnly = false,
  channel = 0,
  from = 0,
  to = SIZE / 2 + 1,
): void {
  subtractLine(line, channel, SIZE, RATE_HZ, stepRe, stepIm, from, to, re, im, imageOnly);
}

const largest = ({ re, im }: Bins): number =>
  re.reduce((top, x, k) => Math.max(top, Math.hypot(x, im[k])), 0);

const LINES = [
  lineOf({ frequencyHz: 1000.3, alpha: 3, cRe: Float64Array.of(0.2), cIm: Float64Array.of(-0.1) }),
  // So low that the image at negative frequency is two linewidths away.
  lineOf({ frequencyHz: 30, alpha: 60, cRe: Float64Array.of(-0.05), cIm: Float64Array.of(0.2) }),
  lineOf({ frequencyHz: 3990, alpha: 40 }),
  // Still ringing at the end of the transform.
  lineOf({ frequencyHz: 440.1, alpha: 0.2 }),
  lineOf({ frequencyHz: 500, alpha: 1500 }),
  // A tone on a bin that does not decay: 1 - z is as small as it comes.
  lineOf({ frequencyHz: (1024 * RATE_HZ) / SIZE, alpha: 1e-4 }),
];

/**
 * Relative error of a line's top: 1 - 2 Re(z) e + |z|^2 e^2 cancels down to its distance from the nearest bin times 2 sin w;
 * the samples' own phases are rounded to w t 2^-53.
 */
function roundingOf(line: Line): number {
  const bin = (2 * Math.PI) / SIZE;
  const turn = line.omega / RATE_HZ;
  const beside = turn - bin * Math.round(turn / bin);
  const closest = Math.hypot(line.alpha / RATE_HZ, beside) * Math.abs(Math.sin(turn));
  return 2 ** -53 * (8 / closest + line.omega * (SIZE / RATE_HZ));
}

describe("subtractLine", () => {
  it.each(LINES.map((line) => ({ line, f: Math.round(line.omega / (2 * Math.PI)), alpha: line.alpha })))(
    "subtractLine(a damped sinusoid of $f Hz and $alpha /s) leaves nothing of it, its image gone too",
    ({ line }) => {
      const bins = binsOf([line]);
      const top = largest(bins);
      subtract(line, bins);
      expect(largest(bins) / top).toBeLessThan(roundingOf(line));
    },
  );

  it("subtractLine(the image alone) leaves the line at positive frequency", () => {
    const line = LINES[1];
    const bins = binsOf([line]);
    const whole = binsOf([line]);
    subtract(line, bins, true);
    // What is left is c (1 - z^N)/(1 - z e).
    const tail = Math.exp((-line.alpha * SIZE) / RATE_HZ);
    const turn = (line.omega * SIZE) / RATE_HZ;
    const [uRe, uIm] = [1 - tail * Math.cos(turn), -tail * Math.sin(turn)];
    const radius = Math.exp(-line.alpha / RATE_HZ);
    const [cRe, cIm] = [line.cRe[0] * uRe - line.cIm[0] * uIm, line.cRe[0] * uIm + line.cIm[0] * uRe];
    for (let k = 0; k <= SIZE / 2; k += 17) {
      const angle = line.omega / RATE_HZ - (2 * Math.PI * k) / SIZE;
      const [a, b] = [1 - radius * Math.cos(angle), -radius * Math.sin(angle)];
      const power = a * a + b * b;
      expect(Math.abs(bins.re[k] - (cRe * a + cIm * b) / power)).toBeLessThan(1e-10 * largest(whole));
      expect(Math.abs(bins.im[k] - (cIm * a - cRe * b) / power)).toBeLessThan(1e-10 * largest(whole));
    }
  });

  it("subtractLine(several lines in turn) leaves nothing of any, whatever the order", () => {
    for (const order of [LINES, LINES.toReversed()]) {
      const bins = binsOf(LINES);
      const top = largest(bins);
      for (const line of order) subtract(line, bins);
      expect(largest(bins) / top).toBeLessThan(LINES.reduce((sum, line) => sum + roundingOf(line), 0));
    }
  });

  it("subtractLine(a channel) takes that channel's own amplitude", () => {
    const line = lineOf({
      frequencyHz: 700,
      alpha: 9,
      cRe: Float64Array.of(0.1, -0.3),
      cIm: Float64Array.of(0, 0.2),
    });
    const bins = binsOf([line], 1);
    const top = largest(bins);
    subtract(line, bins, false, 1);
    expect(largest(bins) / top).toBeLessThan(1e-11);
  });

  it("subtractLine(from, to) leaves the bins outside as they were", () => {
    const bins = binsOf([LINES[0]]);
    const before = { re: bins.re.slice(), im: bins.im.slice() };
    subtract(LINES[0], bins, false, 0, 900, 1100);
    expect(bins.re.slice(0, 900)).toEqual(before.re.slice(0, 900));
    expect(bins.im.slice(1100)).toEqual(before.im.slice(1100));
    expect(bins.re[1024]).not.toBe(before.re[1024]);
  });

  it("subtractLine(the image alone, from, to) leaves the bins outside as they were", () => {
    const bins = binsOf([LINES[1]]);
    const before = { re: bins.re.slice(), im: bins.im.slice() };
    subtract(LINES[1], bins, true, 0, 10, 30);
    const changed = [...bins.re.keys()].filter(
      (k) => bins.re[k] !== before.re[k] || bins.im[k] !== before.im[k],
    );
    expect(changed).toEqual(Array.from({ length: 20 }, (_, i) => 10 + i));
  });

  it("subtractLine(unless asked for the image alone) takes the line off", () => {
    const { re, im } = binsOf([LINES[0]]);
    const top = largest({ re, im });
    subtractLine(LINES[0], 0, SIZE, RATE_HZ, stepRe, stepIm, 0, SIZE / 2 + 1, re, im);
    expect(largest({ re, im }) / top).toBeLessThan(roundingOf(LINES[0]));
  });

  it("subtractLine(a candidate) changes nothing: it has no amplitude yet", () => {
    const bins = binsOf([LINES[0]]);
    const before = bins.re.slice();
    subtract(candidateLine(3, LINES[0].omega, 1), bins);
    expect(bins.re).toEqual(before);
  });
});

describe("candidateLine", () => {
  it("candidateLine has its pole, no amplitude, no known error, and nothing against it yet", () => {
    const { cRe, cIm, ...rest } = candidateLine(3, 700, 2);
    expect([...cRe, ...cIm]).toEqual([0, 0, 0, 0]);
    expect(rest).toMatchObject({ alpha: 3, omega: 700, rho: 0, misfitting: false });
    expect([rest.sdOmega, rest.sdAlpha, rest.sdLogAmplitude]).toEqual(
      Array(3).fill(Number.POSITIVE_INFINITY),
    );
  });
});

describe("linePower", () => {
  it("linePower sums |c|^2 over the channels, nought for a candidate", () => {
    expect(linePower(candidateLine(1, 1, 2))).toBe(0);
    const line = { ...candidateLine(1, 1, 2), cRe: Float64Array.of(3, 0), cIm: Float64Array.of(4, 2) };
    expect(linePower(line)).toBe(29);
  });
});
