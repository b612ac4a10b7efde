import type { RingDown } from "../../src/partials/ring-down.ts";
import { type SearchOpener, searchOpener } from "../../src/partials/ring-down.ts";
import { type NoiseSpectrum, noiseCentresHz } from "../../src/spectrum/index.ts";
import { makeRandom, type Random } from "../support/synthetic/index.ts";

export const RING_RATE_HZ = 8000;
/** Standard deviation of the white noise, a sample. */
export const RING_SD = 1e-4;

/** A exp(-alpha t) cos(2 pi f t), one channel. */
export interface RingLine {
  frequencyHz: number;
  alpha: number;
  amplitude: number;
}

/** A one-channel ring of `seconds` from sample 0: damped lines and white noise, and what `spoil` does to it. */
export function ringDownOf(
  lines: readonly RingLine[],
  seed: number,
  seconds = 3,
  spoil: (x: Float64Array, random: Random) => void = () => {},
): RingDown {
  const random = makeRandom(seed);
  const x = new Float64Array(seconds * RING_RATE_HZ);
  for (const { frequencyHz, alpha, amplitude } of lines) {
    for (let n = 0; n < x.length; n++) {
      const t = n / RING_RATE_HZ;
      x[n] += amplitude * Math.exp(-alpha * t) * Math.cos(2 * Math.PI * frequencyHz * t);
    }
  }
  spoil(x, random);
  random.addNormal(x, RING_SD);
  return ringOfSamples(x, RING_RATE_HZ);
}

/** One channel that rings from its first sample to its last. */
export function ringOfSamples(x: Float64Array, sampleRateHz: number): RingDown {
  return {
    channels: [Float32Array.from(x)],
    sampleRateHz,
    onsetSample: 0,
    ringStartSample: 0,
    endSample: x.length,
    bounced: false,
    quiet: null,
    noiseFloor: 0,
  };
}

/** Six partials of which one is a pair, and the last one dies fast. */
export const BELL_LINES: RingLine[] = [
  { frequencyHz: 400, alpha: 0.8, amplitude: 0.1 },
  { frequencyHz: 801, alpha: 1.5, amplitude: 0.1 },
  { frequencyHz: 803, alpha: 1.5, amplitude: 0.05 },
  { frequencyHz: 950, alpha: 2, amplitude: 0.05 },
  { frequencyHz: 1210, alpha: 2.5, amplitude: 0.03 },
  { frequencyHz: 1600, alpha: 3, amplitude: 0.1 },
  { frequencyHz: 2700, alpha: 20, amplitude: 0.1 },
];

/** Damped lines whose phases run on the time t + d(t), and whose decays on `decayTime`, t where none is given. */
export function movedRing(
  lines: readonly RingLine[],
  delayS: (t: number) => number,
  seed: number,
  { seconds = 4, decayTime = (t: number) => t } = {},
): RingDown {
  return ringDownOf([], seed, seconds, (x) => {
    for (const { frequencyHz, alpha, amplitude } of lines) {
      for (let n = 0; n < x.length; n++) {
        const t = n / RING_RATE_HZ;
        const turn = 2 * Math.PI * frequencyHz * (t + delayS(t));
        x[n] += amplitude * Math.exp(-alpha * decayTime(t)) * Math.cos(turn);
      }
    }
  });
}

/** The noise of such a ring, as if it were known. */
export function knownNoise(): NoiseSpectrum {
  const centresHz = noiseCentresHz(RING_RATE_HZ);
  return { centresHz, variance: new Float64Array(centresHz.length).fill(RING_SD ** 2) };
}

export const openerOf = (ring: RingDown): SearchOpener => searchOpener(ring, [knownNoise()]);

/** Matched-filter SNR of a line, A^2 fs / (8 alpha S), its decay whole within the record. */
export const rhoOf = ({ amplitude, alpha }: RingLine): number =>
  (amplitude ** 2 * RING_RATE_HZ) / (8 * alpha * RING_SD ** 2);
