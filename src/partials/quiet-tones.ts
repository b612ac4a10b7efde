import { largestSizeWithin, type NoiseSpectrum, noiseAt, RealFft } from "../spectrum/index.ts";
import type { Glide } from "./glide.ts";
import type { RingDown } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";

/** A tone that sounds before the bell does. */
export interface QuietTone {
  frequencyHz: number;
  /** Largest over the channels, full scale = 1. */
  amplitude: number;
}

const LONGEST = 2 ** 17;
const FALSE_ALARM = 0.01;
/** What a glide makes of a tone is at most this times what phase modulation predicts. */
const SAFETY = 2;
/** Shorter quiet resolves no tone, s. */
const SHORTEST_S = 0.1;
/** A tone of the ring is one of the quiet when it is there within so many bins, and has at least a third of its amplitude. */
const SAME_TONE_BINS = 2;
const SAME_TONE = 1 / 3;

/** The tones of the quiet before the blow or after the ring: local maxima of its spectrum (Hann window) that noise makes once in a hundred times. */
export function quietTones({ channels, quiet, sampleRateHz }: RingDown, noise: NoiseSpectrum[]): QuietTone[] {
  const size = quiet === null ? 0 : Math.min(LONGEST, largestSizeWithin(quiet.endSample - quiet.startSample));
  if (quiet === null || size === 0) return [];
  const threshold = Math.log(size / 2 / FALSE_ALARM);
  const fft = new RealFft(size);
  const windowed = new Float64Array(size);
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  const tones: QuietTone[] = [];
  for (const [c, x] of channels.entries()) {
    for (let n = 0; n < size; n++) {
      windowed[n] = x[quiet.startSample + n] * (0.5 - 0.5 * Math.cos((2 * Math.PI * n) / size));
    }
    fft.forward(windowed, 0, re, im);
    const power = (k: number) => re[k] ** 2 + im[k] ** 2;
    for (let k = 2; k < size / 2 - 1; k++) {
      const frequencyHz = (k * sampleRateHz) / size;
      const own = power(k);
      if (own < power(k - 1) || own < power(k + 1)) continue;
      if (own < threshold * 0.375 * size * noiseAt(noise[c], frequencyHz)) continue;
      tones.push({ frequencyHz, amplitude: (4 * Math.sqrt(own)) / size });
    }
  }
  return tones;
}

/** Whether a tone of a frequency and an amplitude sounds in the quiet too; null where there is none or it is too short to tell. */
export type SoundsInQuiet = (frequencyHz: number, amplitude: number) => boolean | null;

/** Looks through the quiet when first asked. */
export function soundsInQuiet(ring: RingDown, noise: NoiseSpectrum[]): SoundsInQuiet {
  const { quiet, sampleRateHz } = ring;
  const lengthS = quiet === null ? 0 : (quiet.endSample - quiet.startSample) / sampleRateHz;
  if (lengthS < SHORTEST_S) return () => null;
  let tones: QuietTone[] | null = null;
  return (frequencyHz, amplitude) => {
    tones ??= quietTones(ring, noise);
    const reachHz = SAME_TONE_BINS * Math.max(1 / lengthS, sampleRateHz / LONGEST);
    return tones.some(
      (t) => Math.abs(t.frequencyHz - frequencyHz) < reachHz && t.amplitude > SAME_TONE * amplitude,
    );
  };
}

/**
 * Lines that are not what is left of a tone. On the time axis of a gliding bell a tone that does not glide with it is modulated in
 * phase by omega g tau at most, which puts lines of so much of its amplitude beside it, within the glide and its spectrum.
 */
export function withoutTones(
  lines: StableLine[],
  tones: QuietTone[],
  { amount, timeConstantS }: Glide,
  binHz: number,
): StableLine[] {
  return lines.filter(({ line }) => {
    const frequencyHz = line.omega / (2 * Math.PI);
    const amplitude = 2 * Math.hypot(...line.cRe, ...line.cIm);
    return !tones.some((tone) => {
      const reachHz = Math.abs(amount) * tone.frequencyHz + 1 / (2 * Math.PI * timeConstantS) + 2 * binHz;
      const modulated = Math.min(1, 2 * Math.PI * tone.frequencyHz * Math.abs(amount) * timeConstantS);
      return (
        Math.abs(frequencyHz - tone.frequencyHz) < reachHz && amplitude < SAFETY * modulated * tone.amplitude
      );
    });
  });
}
