import { describe, expect, it } from "vitest";
import { otherSound } from "../../src/partials/other-sound.ts";
import type { RingDown } from "../../src/partials/ring-down.ts";
import { knownNoise, RING_RATE_HZ, RING_SD, type RingLine, ringDownOf } from "./rings.ts";

const LINES: RingLine[] = [
  { frequencyHz: 300, alpha: 0.5, amplitude: 0.1 },
  { frequencyHz: 700, alpha: 1.5, amplitude: 0.1 },
  { frequencyHz: 1100, alpha: 3, amplitude: 0.1 },
  { frequencyHz: 1500, alpha: 5, amplitude: 0.05 },
  { frequencyHz: 2100, alpha: 8, amplitude: 0.05 },
];

/** From 0 to 1 between 1.2 and 1.8 s, without a corner. */
const ramp = (n: number) =>
  0.5 - 0.5 * Math.cos(Math.PI * Math.min(1, Math.max(0, (n / RING_RATE_HZ - 1.2) / 0.6)));
const at = (seconds: number) => Math.round(seconds * RING_RATE_HZ);
const soundOf = (ring: RingDown) => otherSound(ring, ring.channels.map(knownNoise));

/** A hiss of so many times the noise, half a second long. */
const hissing = (times: number, fromS = 1.5) =>
  ringDownOf(LINES, 3, 3, (x, random) => {
    for (let n = at(fromS); n < at(fromS + 0.5); n++) x[n] += times * RING_SD * random.normal();
  });

describe("otherSound", () => {
  it("otherSound(a hiss that sets in while the ring lasts) is there, to a spectrum and its distance from the next", () => {
    const { atS, withinS } = soundOf(hissing(10))!;
    // A spectrum of 2048 samples every 1024.
    expect(withinS).toBeCloseTo(2048 / RING_RATE_HZ, 9);
    expect(Math.abs(atS - 1.5)).toBeLessThan(withinS);
    // The hiss begins within the first spectrum that shows it: half of its length from the middle at most.
    expect(Math.abs(atS - 1.5)).toBeLessThan(1024 / RING_RATE_HZ);
  });

  it("otherSound(a hiss of the noise's own strength, or a plain ring) is null", () => {
    expect(soundOf(hissing(1))).toBeNull();
    expect(soundOf(ringDownOf(LINES, 4))).toBeNull();
  });

  it("otherSound(a hiss in one band) is null: a beat does that too", () => {
    const whistle = ringDownOf(LINES, 5, 3, (x) => {
      for (let n = 0; n < x.length; n++)
        x[n] += 0.01 * ramp(n) * Math.sin((2 * Math.PI * 1800 * n) / RING_RATE_HZ);
    });
    expect(soundOf(whistle)).toBeNull();
  });

  it("otherSound(a gain that comes back) is null: it brings back no more than the noise of the quiet", () => {
    const ring = ringDownOf(LINES, 6);
    const x = ring.channels[0].map((v, n) => v * (0.1 + 0.9 * ramp(n)));
    expect(soundOf({ ...ring, channels: [x] })).toBeNull();
  });

  it("otherSound of two channels is the earlier", () => {
    const [ring, plain] = [hissing(10), ringDownOf(LINES, 7)];
    expect(soundOf({ ...ring, channels: [plain.channels[0], ring.channels[0]] })).toEqual(soundOf(ring));
    const later = hissing(10, 2);
    expect(soundOf(later)!.atS).toBeGreaterThan(soundOf(ring)!.atS);
    for (const both of [
      [ring, later],
      [later, ring],
    ]) {
      expect(soundOf({ ...ring, channels: both.map((r) => r.channels[0]) })).toEqual(soundOf(ring));
    }
  });

  it("otherSound(a ring too short to have a beginning) is null", () => {
    expect(soundOf({ ...hissing(10), endSample: at(0.5) })).toBeNull();
  });

  it("otherSound hears a hiss between lines that are far louder than it, one in every third octave", () => {
    const lines = Array.from({ length: 13 }, (_, i) => ({
      frequencyHz: 215 * 2 ** (i / 3),
      alpha: 0.5,
      amplitude: 0.05,
    }));
    const ring = ringDownOf(lines, 8, 3, (x, random) => {
      for (let n = at(1.5); n < at(2); n++) x[n] += 10 * RING_SD * random.normal();
    });
    expect(Math.abs(soundOf(ring)!.atS - 1.5)).toBeLessThan(soundOf(ring)!.withinS);
  });

  it("otherSound counts from the first contact, and looks from a tenth of a second after the last", () => {
    const ring = hissing(10);
    const later = { ...ring, onsetSample: at(0.25), ringStartSample: at(0.25) };
    const { atS, withinS } = soundOf(later)!;
    expect(Math.abs(atS - 1.25)).toBeLessThan(withinS);
    // The middle of a spectrum: they begin at 0.35 s, 1024 samples apart.
    expect((((atS + 0.25 - 0.35) * RING_RATE_HZ - 1024) / 1024) % 1).toBeCloseTo(0, 6);
  });

  it("otherSound(what was as loud before, as a room) is null", () => {
    const room = ringDownOf(LINES, 9, 3, (x, random) => {
      for (let n = 0; n < x.length; n++)
        x[n] +=
          30 * RING_SD * Math.exp((-3 * n) / RING_RATE_HZ) * random.normal() +
          (n > at(1.5) && n < at(2) ? 10 * RING_SD * random.normal() : 0);
    });
    expect(soundOf(room)).toBeNull();
  });

  it("otherSound(a hiss in four third octaves or more) is told, in three it is not", () => {
    // Sines 4 Hz apart fill whole third octaves from 400 Hz on.
    const band = (highHz: number) =>
      ringDownOf(LINES, 10, 3, (x, random) => {
        for (let hertz = 402; hertz < highHz - 20; hertz += 4) {
          const phase = random.between(0, 6.28);
          for (let n = at(1.1); n < at(2.2); n++)
            x[n] +=
              4e-4 *
              (ramp(n) - ramp(n - at(0.4))) *
              Math.sin((2 * Math.PI * hertz * n) / RING_RATE_HZ + phase);
        }
      });
    expect(soundOf(band(400 * 2 ** (3 / 3)))).toBeNull();
    expect(soundOf(band(400 * 2 ** (6 / 3)))).not.toBeNull();
  });
});
