import { describe, expect, it } from "vitest";
import type { Line } from "../../src/partials/line.ts";
import { refineStart } from "../../src/partials/refine-onset.ts";
import type { RingDown } from "../../src/partials/ring-down.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { lineOf } from "./lines.ts";

const RATE_HZ = 44100;
const ONSET = 20_000;
/** Where the fit began: 6 ms after the blow. */
const START = ONSET + Math.round(0.006 * RATE_HZ);

/** Amplitudes and phases at the start of the fit; sines at the blow, as a body struck from rest. */
const LINES = [
  [523, 1, 0.5],
  [1237, 3, 0.3],
  [2713, 8, 0.2],
  [5117, 20, 0.1],
].map(([frequencyHz, alpha, amplitude]): Line => {
  const t = (START - ONSET) / RATE_HZ;
  const level = (amplitude / 2) * Math.exp(-alpha * t);
  const phase = 2 * Math.PI * frequencyHz * t - Math.PI / 2;
  return lineOf({
    frequencyHz,
    alpha,
    cRe: Float64Array.of(level * Math.cos(phase)),
    cIm: Float64Array.of(level * Math.sin(phase)),
  });
});

function ringOf(noiseSd: number, seed: number, onset = ONSET): RingDown {
  const random = makeRandom(seed);
  const x = Float32Array.from({ length: ONSET + RATE_HZ }, () => noiseSd * random.normal());
  for (const line of LINES) {
    for (let n = onset; n < x.length; n++) {
      const t = (n - START) / RATE_HZ;
      const turn = line.omega * t;
      x[n] += 2 * Math.exp(-line.alpha * t) * (line.cRe[0] * Math.cos(turn) - line.cIm[0] * Math.sin(turn));
    }
  }
  return {
    channels: [x],
    sampleRateHz: RATE_HZ,
    onsetSample: ONSET,
    ringStartSample: START,
    endSample: x.length,
    bounced: false,
    quiet: null,
    noiseFloor: 0,
  };
}

describe("refineStart", () => {
  it("refineStart(no lines, or only lines whose decay is too doubtful to carry back) stays where it is", () => {
    expect(refineStart(ringOf(0.001, 1), [], START)).toBe(START);
    // 20 ms back the level of 3 /s more is six per cent higher.
    const doubtful = LINES.map((line) => ({ ...line, sdAlpha: 3 }));
    expect(refineStart(ringOf(0.001, 1), doubtful, START)).toBe(START);
    const unknown = LINES.map((line) => ({ ...line, sdAlpha: Number.POSITIVE_INFINITY }));
    expect(refineStart(ringOf(0.001, 1), unknown, START)).toBe(START);
  });

  it("refineStart(a fast line whose decay is known) does not take it for the click of the rod", () => {
    const alpha = 300;
    const back = (alpha * (START - ONSET)) / RATE_HZ;
    const fast = lineOf({
      frequencyHz: 3300,
      alpha,
      // As loud at the blow as the loudest other line.
      cRe: Float64Array.of(0.25 * Math.exp(-back)),
      cIm: Float64Array.of(0),
      sdAlpha: 1,
    });
    const ring = ringOf(1e-4, 8);
    for (let n = ONSET; n < ring.endSample; n++) {
      const t = (n - START) / RATE_HZ;
      ring.channels[0][n] += 2 * fast.cRe[0] * Math.exp(-alpha * t) * Math.cos(fast.omega * t);
    }
    const found = refineStart(ring, [...LINES, fast], START);
    expect(Math.abs(found - ONSET)).toBeLessThanOrEqual(1);
    // Left out, it is a click: the start stays behind the millisecond blocks in which it stands out.
    const without = refineStart(ring, [...LINES, { ...fast, sdAlpha: 3 }], START);
    expect(without - ONSET).toBeGreaterThan(0.001 * RATE_HZ);
  });

  it("refineStart(lines that are not in the signal) does not go backwards over what they fail to explain", () => {
    const ring = { ...ringOf(0, 1), channels: [new Float32Array(ONSET + RATE_HZ)] };
    expect(refineStart(ring, LINES, START)).toBeGreaterThanOrEqual(START);
  });

  it("refineStart(a ring in little noise) finds the sample of the blow", () => {
    // A sine's first sample is nought: the sum gains nothing by it.
    const found = refineStart(ringOf(1e-4, 2), LINES, START);
    expect(found - ONSET).toBeGreaterThanOrEqual(0);
    expect(found - ONSET).toBeLessThanOrEqual(1);
  });

  it("refineStart(a ring in noise 15 dB under it) finds the blow to a quarter of a millisecond", () => {
    for (let seed = 0; seed < 20; seed++) {
      const found = refineStart(ringOf(0.08, seed), LINES, START);
      // The sum turns when |m|^2 summed passes the noise's walk of 2 sd |m|: the energy of the first samples, growing as the square of
      // time (sines), is (2 pi f A t)^2 t fs / 3 with f A about 1.5 kHz: over 10 sd^2 after 0.25 ms.
      expect(Math.abs(found - ONSET)).toBeLessThan(12);
    }
  });

  it("refineStart(a click of 2 ms at the blow) stops before it, and goes on to the blow where the click is under the noise", () => {
    const click = Math.round(0.002 * RATE_HZ);
    const withClick = (level: number): RingDown => {
      const ring = ringOf(1e-3, 6);
      const random = makeRandom(7);
      for (let n = 0; n < click; n++) {
        ring.channels[0][ONSET + n] += level * Math.sin((Math.PI * (n + 0.5)) / click) * random.normal();
      }
      return ring;
    };
    const found = refineStart(withClick(0.5), LINES, START);
    // The last sixth of the click's half sine is under half of its height; blocks of a millisecond.
    expect(found - ONSET).toBeGreaterThan(0.8 * click);
    expect(found - ONSET).toBeLessThan(click + 0.0011 * RATE_HZ);
    expect(refineStart(withClick(1e-3), LINES, START) - ONSET).toBeLessThan(0.0011 * RATE_HZ);
  });

  it("refineStart(two channels) uses both: the one in which the ring is lost does no harm", () => {
    const loud = ringOf(1e-4, 3);
    const ring = { ...loud, channels: [loud.channels[0], ringOf(0.5, 4).channels[0]] };
    const lines = LINES.map((line) => ({
      ...line,
      cRe: Float64Array.of(line.cRe[0], line.cRe[0]),
      cIm: Float64Array.of(line.cIm[0], line.cIm[0]),
    }));
    // Before the blow the model loses 2 |m|^2 a sample (rms 0.4) against a walk of 2 sd |m| sqrt(n): n under (3 sd/|m|)^2 = 14; after it
    // the sines need as long again to grow.
    expect(Math.abs(refineStart(ring, lines, START) - ONSET)).toBeLessThan(30);
  });

  it("refineStart(a ring at the start of the recording) stays within it", () => {
    const ring = ringOf(1e-4, 5);
    const cut = { ...ring, channels: [ring.channels[0].slice(ONSET)], endSample: RATE_HZ };
    const found = refineStart(cut, LINES, START - ONSET);
    expect(found).toBeGreaterThanOrEqual(0);
    expect(found).toBeLessThanOrEqual(1);
  });

  it("refineStart(a ring that began long before) goes back 20 ms and no further", () => {
    const ring = ringOf(1e-5, 9, START - Math.round(0.03 * RATE_HZ));
    expect(refineStart(ring, LINES, START)).toBe(START - Math.round(0.02 * RATE_HZ));
  });

  it("refineStart(a ring that is struck again 12 ms after the start) judges by what comes before that", () => {
    const ring = ringOf(1e-4, 10);
    const again = START + Math.round(0.012 * RATE_HZ);
    for (let n = again; n < ring.endSample; n++) ring.channels[0][n] *= -2;
    expect(Math.abs(refineStart(ring, LINES, START) - ONSET)).toBeLessThanOrEqual(1);
  });

  it("refineStart(more than forty lines) goes by the strongest, whatever their order", () => {
    const faint = Array.from({ length: 40 }, (_, i) =>
      lineOf({ frequencyHz: 6000 + 100 * i, alpha: 5, cRe: Float64Array.of(1e-7) }),
    );
    const found = refineStart(ringOf(1e-4, 11), [...faint, ...LINES], START);
    expect(Math.abs(found - ONSET)).toBeLessThanOrEqual(1);
  });

  /** A ring with a buzz over the first 2 ms, whose power is `sd` squared in every sample. */
  const buzzing = (noiseSd: number, sd: number): RingDown => {
    const ring = ringOf(noiseSd, 12);
    const length = Math.round(0.002 * RATE_HZ);
    for (let n = 0; n < length; n++) ring.channels[0][ONSET + n] += n % 2 ? sd : -sd;
    return ring;
  };

  it("refineStart(a click of more than four times the power of what is left after the start) stays behind it", () => {
    const found = refineStart(buzzing(1e-3, 5e-3), LINES, START) - ONSET;
    // 26 times in whole blocks of a millisecond; a block with 4 of its 44 samples in the buzz has 3.3 times.
    expect(found).toBeGreaterThan(0.001 * RATE_HZ);
    expect(found).toBeLessThan(0.003 * RATE_HZ);
  });

  it("refineStart(a click 60 dB under the ring) goes back over it, one 50 dB under it stops it", () => {
    // The ring's power is half of the sum of the squared amplitudes, 0.195: 60 dB under it is a buzz of 4.4e-4.
    expect(refineStart(buzzing(1e-6, 5e-5), LINES, START) - ONSET).toBeLessThanOrEqual(1);
    expect(refineStart(buzzing(1e-6, 1.4e-3), LINES, START) - ONSET).toBeGreaterThan(0.001 * RATE_HZ);
  });
});
