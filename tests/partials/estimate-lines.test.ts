import { describe, expect, it } from "vitest";
import { estimateLines } from "../../src/partials/estimate-lines.ts";
import { glideDelayS } from "../../src/partials/glide.ts";
import type { RingDown } from "../../src/partials/ring-down.ts";
import { movedRing, RING_RATE_HZ, type RingLine, ringDownOf } from "./rings.ts";

const FS = RING_RATE_HZ;
const BELL: RingLine[] = [
  { frequencyHz: 500, alpha: 2, amplitude: 0.2 },
  { frequencyHz: 810, alpha: 2.5, amplitude: 0.2 },
  { frequencyHz: 1210, alpha: 3, amplitude: 0.2 },
];
const found = ({ lines }: ReturnType<typeof estimateLines>) =>
  lines.map(({ line }) => Math.round(line.omega / (2 * Math.PI))).sort((a, b) => a - b);

/** The ring after a second of noise alone, which is its quiet. */
const afterQuiet = (ring: RingDown): RingDown => {
  const { channels, endSample } = ringDownOf([], 99, 1);
  const whole = new Float32Array(endSample + ring.endSample);
  whole.set(channels[0]);
  whole.set(ring.channels[0], endSample);
  return {
    ...ring,
    channels: [whole],
    onsetSample: endSample,
    ringStartSample: endSample,
    endSample: whole.length,
    quiet: { startSample: 0, endSample },
  };
};

describe("estimateLines", () => {
  it("estimateLines(free decays) has them as such, from their beginning, and says where the noise is from", () => {
    const ring = afterQuiet(ringDownOf(BELL, 1, 1.5));
    const estimate = estimateLines(ring);
    expect([estimate.freeDecay, estimate.glide, estimate.noiseFrom]).toEqual([
      true,
      null,
      "before the strike",
    ]);
    expect(Math.abs(estimate.startSample - ring.onsetSample)).toBeLessThanOrEqual(2);
    expect(found(estimate)).toEqual([500, 810, 1210]);
    expect(estimateLines(ringDownOf(BELL, 1, 1.5)).noiseFrom).toBe("the residual");
  });

  it("estimateLines(a ring of which all frequencies glide alike) takes the glide off", () => {
    const glide = { amount: 0.003, timeConstantS: 0.3 };
    const estimate = estimateLines(
      afterQuiet(movedRing(BELL, (t) => glideDelayS(glide, t), 2, { seconds: 2 })),
    );
    expect(estimate.glide?.amount).toBeCloseTo(0.003, 4);
    expect(estimate.freeDecay).toBe(false);
    expect(found(estimate)).toEqual([500, 810, 1210]);
  });

  it("estimateLines(a ring hidden for 80 ms) has its lines from a later start", () => {
    const ring = afterQuiet(
      ringDownOf(BELL, 3, 1.5, (x, random) => {
        for (let n = 0; n < 0.08 * FS; n++) x[n] += 0.3 * random.normal();
      }),
    );
    const estimate = estimateLines(ring);
    expect([estimate.freeDecay, estimate.glide]).toEqual([false, null]);
    expect(estimate.lines.every((l) => l.delayS >= 0.08)).toBe(true);
    expect(found(estimate)).toEqual([500, 810, 1210]);
  });

  it("estimateLines(a ring that is never one of free decays) is what its starts agree upon", () => {
    // Levels that swing by a tenth four times a second.
    const ring = afterQuiet(
      ringDownOf([], 4, 1.3, (x) => {
        for (const { frequencyHz, alpha, amplitude } of BELL) {
          for (let n = 0; n < x.length; n++) {
            const t = n / FS;
            const level = amplitude * Math.exp(-alpha * t) * (1 + 0.1 * Math.sin(2 * Math.PI * 4 * t));
            x[n] += level * Math.cos(2 * Math.PI * frequencyHz * t);
          }
        }
      }),
    );
    const estimate = estimateLines(ring);
    expect([estimate.freeDecay, estimate.glide, estimate.startSample]).toEqual([
      false,
      null,
      ring.ringStartSample,
    ]);
    for (const f of [500, 810, 1210]) expect(found(estimate)).toContain(f);
    expect(estimate.lines.every(({ seenIn }) => seenIn.length > 1)).toBe(true);
  });
});
