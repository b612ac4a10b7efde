import { describe, expect, it } from "vitest";
import { glideDelayS } from "../../src/partials/glide.ts";
import { unwarped } from "../../src/partials/unwarp.ts";

const FS = 8000;
const ONSET = 400;
const GLIDE = { amount: 0.005, timeConstantS: 0.2 };

/** A tone that glides to `frequencyHz`, or does not. */
function tone(frequencyHz: number, gliding: boolean): Float32Array {
  return Float32Array.from({ length: 2 * FS }, (_, n) => {
    const t = (n - ONSET) / FS;
    return 0.5 * Math.cos(2 * Math.PI * frequencyHz * (t + (gliding ? glideDelayS(GLIDE, t) : 0)));
  });
}

describe("unwarped", () => {
  it.each([300, 1500, 3100, 3500])(
    "unwarped(a tone gliding to %d Hz) is the steady tone to 80 dB",
    (frequencyHz) => {
      const ring = {
        channels: [tone(frequencyHz, true)],
        sampleRateHz: FS,
        onsetSample: ONSET,
        ringStartSample: ONSET,
        endSample: 2 * FS,
        bounced: false,
        quiet: null,
        noiseFloor: 0,
      };
      const [flat] = unwarped(ring, GLIDE).channels;
      const steady = tone(frequencyHz, false);
      // The last taps and the shift want sounds behind the end; the first ones reach to before the glide.
      let worst = 0;
      for (let n = ONSET + 32; n < 2 * FS - 80; n++) worst = Math.max(worst, Math.abs(flat[n] - steady[n]));
      expect(worst).toBeLessThan(0.5e-4);
      expect(ring.channels[0]).toEqual(tone(frequencyHz, true));
    },
  );

  it.each([0.005, -0.005])(
    "unwarped(a glide of %d) ends where the end of the ring comes to lie",
    (amount) => {
      const glide = { amount, timeConstantS: 0.2 };
      const endSample = 2 * FS;
      const ring = {
        channels: [tone(300, false)],
        sampleRateHz: FS,
        onsetSample: ONSET,
        ringStartSample: ONSET,
        endSample,
        bounced: false,
        quiet: null,
        noiseFloor: 0,
      };
      const flat = unwarped(ring, glide);
      const lastS = (endSample - ONSET) / FS;
      const end = ONSET + (lastS + glideDelayS(glide, lastS)) * FS;
      expect(flat.endSample).toBeLessThanOrEqual(Math.min(endSample, end));
      expect(flat.endSample).toBeGreaterThan(Math.min(endSample, end) - 40);
      expect(flat.channels[0].every(Number.isFinite)).toBe(true);
    },
  );
});
