import type { Random } from "./random.ts";

/**
 * Background noise whose spectrum is known in closed form: white noise of standard deviation sd through
 * (1 - zero z^-1) / (1 - pole z^-1). zero = pole = 0 is white.
 */
export interface NoiseColour {
  sd: number;
  zero: number;
  pole: number;
}

export const whiteNoise = (sd: number): NoiseColour => ({ sd, zero: 0, pole: 0 });

/** Variance per sample that white noise of the same density at frequencyHz would have (the S of the bound). */
export function noiseVarianceAt(colour: NoiseColour, frequencyHz: number, sampleRateHz: number): number {
  const cos = Math.cos((2 * Math.PI * frequencyHz) / sampleRateHz);
  const above = 1 - 2 * colour.zero * cos + colour.zero ** 2;
  const below = 1 - 2 * colour.pole * cos + colour.pole ** 2;
  return (colour.sd ** 2 * above) / below;
}

/** Total variance of one sample of the noise. */
export function noiseTotalVariance(colour: NoiseColour): number {
  const { zero, pole } = colour;
  return colour.sd ** 2 * (1 + (pole - zero) ** 2 / (1 - pole ** 2));
}

/** Adds a stationary stretch of the noise to every sample of target. */
export function addNoise(target: Float64Array, colour: NoiseColour, random: Random): void {
  if (colour.zero === 0 && colour.pole === 0) {
    random.addNormal(target, colour.sd);
    return;
  }
  // Run in, so that the first sample is already stationary.
  const runIn = Math.ceil(20 / (1 - colour.pole));
  let previousIn = 0;
  let out = 0;
  for (let i = -runIn; i < target.length; i++) {
    const input = colour.sd * random.normal();
    out = input - colour.zero * previousIn + colour.pole * out;
    previousIn = input;
    if (i >= 0) target[i] += out;
  }
}
