import { describe, expect, it } from "vitest";
import { passedNoise } from "../../src/partials/passed-noise.ts";
import type { RingDown } from "../../src/partials/ring-down.ts";
import { noiseCentresHz } from "../../src/spectrum/index.ts";
import { suppressNoise } from "../support/awkward/recorder.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { type RingLine, ringOfSamples } from "./rings.ts";

/** Lines that decay at such rates that some are gone before others. */
const LINES: RingLine[] = [
  { frequencyHz: 300, alpha: 0.5, amplitude: 0.1 },
  { frequencyHz: 700, alpha: 1.5, amplitude: 0.1 },
  { frequencyHz: 1100, alpha: 3, amplitude: 0.1 },
  { frequencyHz: 1500, alpha: 5, amplitude: 0.1 },
  { frequencyHz: 2100, alpha: 8, amplitude: 0.1 },
  { frequencyHz: 2800, alpha: 10, amplitude: 0.1 },
];

const RATE_HZ = 32_000;
const SD = 1e-4;

function ringOf(change: (x: Float64Array) => void = () => {}, lines = LINES, lengthS = 4): RingDown {
  const x = new Float64Array(lengthS * RATE_HZ);
  for (const { frequencyHz, alpha, amplitude } of lines) {
    const turn = (2 * Math.PI * frequencyHz) / RATE_HZ;
    for (let n = 0; n < x.length; n++)
      x[n] += amplitude * Math.exp((-alpha * n) / RATE_HZ) * Math.sin(turn * n);
  }
  makeRandom(5).addNormal(x, SD);
  change(x);
  return ringOfSamples(x, RATE_HZ);
}

/** The noise of the quiet of such a recording: what is left of it when it is turned down by `floorDb`. */
const quietAt = (floorDb: number) => {
  const centresHz = noiseCentresHz(RATE_HZ);
  return [{ centresHz, variance: new Float64Array(centresHz.length).fill(SD ** 2 * 10 ** (floorDb / 10)) }];
};

const db = (ratio: number) => 10 * Math.log10(ratio);

describe("passedNoise", () => {
  it.each([-15, -30])(
    "passedNoise(noise turned down to %d dB by bands) is that, and closes with each line",
    (floorDb) => {
      // A suppressor of 10 dB over the noise, as of telephones.
      const ring = ringOf((x) => suppressNoise(x, SD, 10, 10 ** (floorDb / 20)));
      const passed = passedNoise(ring, quietAt(floorDb))!;
      // Of bins with power p the median gain is 1 while they are far over the threshold: what comes through is all of the noise, to the
      // scatter of a median of 25 bins or so over as many spectra, and what the suppressor takes beside a line.
      expect(Math.abs(passed.aboveQuietDb + floorDb)).toBeLessThan(2);
      expect(passed.sdDb).toBeGreaterThan(0);
      expect(passed.sdDb).toBeLessThan(1);
      expect(db(passed.noise[0].variance[9] / SD ** 2)).toBeCloseTo(passed.aboveQuietDb + floorDb, 9);
      expect(passed.opensSample).toBe(0.1 * RATE_HZ);
      const closingS = LINES.map(({ frequencyHz }) => passed.closesAt(frequencyHz) / RATE_HZ);
      expect(closingS).toEqual([...closingS].sort((a, b) => b - a));
      expect(closingS[0]).toBe(Number.POSITIVE_INFINITY);
      for (const [i, { alpha }] of LINES.entries()) {
        if (!Number.isFinite(closingS[i])) continue;
        // All lines begin alike, so they are equally far down when their bands are no longer fully open; a spectrum lasts 0.26 s.
        const last = LINES.length - 1;
        const fallDb = db(Math.exp(2 * alpha * closingS[i]));
        const fallOfLastDb = db(Math.exp(2 * LINES[last].alpha * closingS[last]));
        expect(Math.abs(fallDb - fallOfLastDb)).toBeLessThan(db(Math.exp(2 * LINES[last].alpha * 0.26)));
      }
      // Where nothing rings nothing comes through.
      expect(passed.closesAt(3500) / RATE_HZ).toBeLessThanOrEqual(0.1);
    },
  );

  it("passedNoise(a plain ring) is null, in quiet noise and where the noise grew louder in all bands", () => {
    expect(passedNoise(ringOf(), quietAt(0))).toBeNull();
    expect(passedNoise(ringOf(), quietAt(-20))).toBeNull();
  });

  it("passedNoise(a gate that turns ring and noise down) is null: it does so in all bands at once", () => {
    const shut = ringOf((x) => {
      for (let n = 2 * RATE_HZ; n < x.length; n++) x[n] *= 0.03;
    });
    expect(passedNoise(shut, quietAt(-30))).toBeNull();
  });

  it("passedNoise(noise that falls with each line, as a room's or a coder's) is null", () => {
    const random = makeRandom(8);
    const roomy = ringOf((x) => {
      for (const { frequencyHz, alpha, amplitude } of LINES) {
        // Some 50 Hz of noise to either side of each line: amplitude noise of 3 ms.
        let level = 0;
        for (let n = 0; n < x.length; n++) {
          const t = n / RATE_HZ;
          level += (random.normal() - level) / 100;
          x[n] += 0.1 * level * amplitude * Math.exp(-alpha * t) * Math.cos(2 * Math.PI * frequencyHz * t);
        }
      }
    });
    expect(passedNoise(roomy, quietAt(0))).toBeNull();
  });

  it.each([150, 450])(
    "passedNoise(a lorry that comes by with the blow, under %d Hz) is null: its noise does not go with the lines",
    (cornerHz) => {
      // Low lines that sound for long, and higher ones that are gone early and have no noise beside them.
      const low = [120, 190, 260, 330, 400, 470].map((frequencyHz, i) => ({
        frequencyHz,
        alpha: 1.2 + 0.2 * i,
        amplitude: 0.1,
      }));
      const high = [2100, 2800, 3700].map((frequencyHz) => ({ frequencyHz, alpha: 9, amplitude: 0.1 }));
      const random = makeRandom(12);
      const keep = Math.exp((-2 * Math.PI * cornerHz) / RATE_HZ);
      const passing = ringOf(
        (x) => {
          let once = 0;
          let twice = 0;
          for (let n = 0; n < x.length; n++) {
            once = keep * once + (1 - keep) * random.normal();
            twice = keep * twice + (1 - keep) * once;
            x[n] += 50 * SD * twice;
          }
        },
        [...low, ...high],
      );
      expect(passedNoise(passing, quietAt(0))).toBeNull();
    },
  );

  it("passedNoise(two lines in two channels) is null, where three in one are enough: copies of a line are one", () => {
    const suppressed = (lines: RingLine[]) =>
      ringOf((x) => suppressNoise(x, SD, 10, 10 ** (-20 / 20)), lines);
    const [two, three] = [suppressed([LINES[1], LINES[4]]), suppressed([LINES[1], LINES[2], LINES[4]])];
    expect(passedNoise(three, quietAt(-20))!.lines).toBe(3);
    const channels = [two.channels[0], two.channels[0].map((v) => 0.5 * v)];
    expect(passedNoise({ ...two, channels }, [...quietAt(-20), ...quietAt(-26)])).toBeNull();
  });

  it("passedNoise(a long ring, whose spectra lie apart) closes its bands as early as a short one", () => {
    const suppress = (x: Float64Array) => suppressNoise(x, SD, 10, 10 ** (-20 / 20));
    const [short, long] = [4, 80].map((s) => passedNoise(ringOf(suppress, LINES, s), quietAt(-20))!);
    // A spectrum lasts 0.26 s: what is sure is sure up to its middle. Those of the long ring begin 0.8 s from each other.
    for (const { frequencyHz } of LINES.slice(2)) {
      expect(long.closesAt(frequencyHz)).toBeLessThanOrEqual(short.closesAt(frequencyHz) + 0.13 * RATE_HZ);
      expect(short.closesAt(-frequencyHz)).toBe(short.closesAt(frequencyHz));
    }
    expect(short.closesAt(1e9)).toBe(short.closesAt(RATE_HZ / 2));
  });

  it("passedNoise(a ring too short for its spectra, or of no line) is null", () => {
    expect(passedNoise({ ...ringOf(), endSample: 0.3 * RATE_HZ }, quietAt(-20))).toBeNull();
    expect(passedNoise(ringOf(undefined, []), quietAt(0))).toBeNull();
  });
});
