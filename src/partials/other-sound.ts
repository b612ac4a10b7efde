import { type NoiseSpectrum, noiseAt } from "../spectrum/index.ts";
import type { RingDown } from "./ring-down.ts";
import { type ShortSpectra, spectraAfterBlow } from "./short-spectra.ts";

/** A ring only falls: what it shows in so much of its beginning, s, it shows nowhere for the first time. */
const BEGINNING_S = 0.4;
/** A line stands so far over the noise of the quiet in the beginning, dB; nothing nearer to it than so much, Hz and part of its frequency, is looked at. */
const LINE_DB = 20;
const BESIDE_HZ = 30;
const BESIDE_SHARE = 0.012;
/** Third octaves of the range in which voices, steps and doors sound (ISO 266), of so many bins at least. */
const LOWEST_HZ = 200;
const HIGHEST_HZ = 5000;
const FEWEST_BINS = 8;
/** It rises so far over the noise of the quiet and over all before it, dB, in so many bands and this part of those that are looked at. */
const RISE_DB = 10;
const FEWEST_BANDS = 4;
const SHARE = 0.25;

/** When a sound sets in, s after the first contact, and for how long before and after it may be. */
export interface OtherSound {
  atS: number;
  withinS: number;
}

/**
 * A sound that sets in between the lines of the ring: in several third octaves at once, between the lines that were there from the
 * beginning, there is more than in the quiet and more than ever before. A ring and a room only fall, a gain brings back no more
 * than the noise of the quiet, and beats rise in one band. Null where there is none.
 *
 * @param noise of the quiet, one curve a channel
 * @param spectra those of the ring, where they are there already
 */
export function otherSound(
  ring: RingDown,
  noise: NoiseSpectrum[],
  spectra = spectraAfterBlow(ring),
): OtherSound | null {
  const fs = ring.sampleRateHz;
  const found = spectra.flatMap((channel, c): OtherSound[] => {
    const i = setsInAt(channel, noise[c], Math.round(BEGINNING_S * fs));
    if (i === null) return [];
    // It sets in where the spectrum before did not yet show it, or within this one.
    const [before, at] = [channel.startSamples[i - 1], channel.startSamples[i]];
    const lengthS = 1 / channel.binHz;
    return [{ atS: (at - ring.onsetSample) / fs + lengthS / 2, withinS: lengthS / 2 + (at - before) / fs }];
  });
  return found.length === 0 ? null : found.reduce((a, b) => (b.atS < a.atS ? b : a));
}

/** The first spectrum that shows it, after a beginning of so many samples. */
function setsInAt(spectra: ShortSpectra, noise: NoiseSpectrum, beginning: number): number | null {
  const { power, startSamples, binHz } = spectra;
  const first = startSamples.findIndex((s) => s >= startSamples[0] + beginning);
  if (first < 1) return null;
  const isFree = freeBins(spectra, noise, first);
  const bands = thirdOctaves(binHz, isFree);
  const most = new Float64Array(bands.length);
  for (let i = 0; i < power.length; i++) {
    let risen = 0;
    const levels = bands.map(
      (bins) => bins.reduce((sum, k) => sum + power[i][k] / noiseAt(noise, k * binHz), 0) / bins.length,
    );
    levels.forEach((level, b) => {
      if (i >= first && level > 10 ** (RISE_DB / 10) * Math.max(1, most[b])) risen++;
    });
    if (risen >= FEWEST_BANDS && risen >= SHARE * bands.length) return i;
    // Until then a beat may rise; it counts as heard.
    levels.forEach((level, b) => {
      most[b] = Math.max(most[b], level);
    });
  }
  return null;
}

/** Whether a bin lies beside no line of the beginning. */
function freeBins({ power, binHz }: ShortSpectra, noise: NoiseSpectrum, first: number): boolean[] {
  const beginning = Float64Array.from(power[0], (_, k) =>
    Math.max(...power.slice(0, first).map((p) => p[k])),
  );
  const isFree = new Array<boolean>(beginning.length).fill(true);
  for (let k = 1; k < beginning.length - 1; k++) {
    if (beginning[k] < 10 ** (LINE_DB / 10) * noiseAt(noise, k * binHz)) continue;
    if (beginning[k] < beginning[k - 1] || beginning[k] < beginning[k + 1]) continue;
    const reach = Math.ceil(Math.max(BESIDE_HZ, BESIDE_SHARE * k * binHz) / binHz);
    isFree.fill(false, Math.max(0, k - reach), k + reach + 1);
  }
  return isFree;
}

function thirdOctaves(binHz: number, isFree: boolean[]): number[][] {
  const bands: number[][] = [];
  for (let lowHz = LOWEST_HZ; lowHz < HIGHEST_HZ; lowHz *= 2 ** (1 / 3)) {
    const bins: number[] = [];
    const to = Math.min(isFree.length, Math.floor((lowHz * 2 ** (1 / 3)) / binHz));
    for (let k = Math.ceil(lowHz / binHz); k < to; k++) if (isFree[k]) bins.push(k);
    if (bins.length >= FEWEST_BINS) bands.push(bins);
  }
  return bands;
}
