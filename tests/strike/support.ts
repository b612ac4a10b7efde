import { churchBellModes } from "../support/synthetic/families.ts";
import { makeRandom, type Random, type TrueMode } from "../support/synthetic/index.ts";
import { addDampedSinusoid } from "../support/synthetic/modes.ts";
import { addNoise, type NoiseColour, noiseTotalVariance, whiteNoise } from "../support/synthetic/noise.ts";

export const RATE_HZ = 44100;

/** White, falling 6 dB an octave over 50 Hz or so (brown), and in between. */
const COLOURS: NoiseColour[] = [
  whiteNoise(1),
  { sd: 1, zero: 0, pole: 0.993 },
  { sd: 1, zero: 0.8, pole: 0.98 },
];

/** Noise of an rms level; the colour goes round with the seed. */
export function addBackground(x: Float64Array, rms: number, seed: number): void {
  const colour = COLOURS[seed % COLOURS.length];
  addNoise(
    x,
    { ...colour, sd: (rms * colour.sd) / Math.sqrt(noiseTotalVariance(colour)) },
    makeRandom(seed + 1_000_000),
  );
}

/** A random church bell; the seed fixes it. */
export const bellOf = (random: Random): TrueMode[] => churchBellModes(random, 1);

/** One blow at a sample; modes start at once with their phases. */
export function addStrike(x: Float64Array, modes: TrueMode[], at: number, gain = 1): void {
  for (const { frequencyHz, decayRatePerS, amplitude, phaseRad } of modes) {
    addDampedSinusoid(x, RATE_HZ, at, frequencyHz, decayRatePerS, gain * amplitude[0], phaseRad[0]);
  }
}

/** A burst of 2 ms or so, white, as two hard parts touch. */
export function addClick(x: Float64Array, at: number, height: number, random: Random): void {
  for (let n = 0; n < 400 && at + n < x.length; n++)
    x[at + n] += height * random.normal() * Math.exp(-n / 60);
}

export function rmsOf(x: ArrayLike<number>, from: number, to: number): number {
  let sum = 0;
  for (let n = from; n < to; n++) sum += x[n] * x[n];
  return Math.sqrt(sum / (to - from));
}

/** Scales so that the first 50 ms after `at` have an rms of 0.1, then adds noise `snrDb` under that. */
export function withNoise(x: Float64Array, at: number, snrDb: number, seed: number): Float32Array[] {
  const scale = 0.1 / rmsOf(x, at, at + Math.round(0.05 * RATE_HZ));
  for (let n = 0; n < x.length; n++) x[n] *= scale;
  addBackground(x, 0.1 * 10 ** (-snrDb / 20), seed);
  return [Float32Array.from(x)];
}

export const samplesOf = (seconds: number): number => Math.round(seconds * RATE_HZ);
