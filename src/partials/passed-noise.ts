import { type NoiseSpectrum, noiseAt } from "../spectrum/index.ts";
import type { RingDown } from "./ring-down.ts";
import { type ShortSpectra, spectraAfterBlow } from "./short-spectra.ts";

/** The noise that lines let through: that of the recording while the suppression of noise holds their bands open. */
export interface PassedNoise {
  /** How much louder it is beside lines that sound than in the quiet, dB: mean over the lines, and its standard error. */
  aboveQuietDb: number;
  sdDb: number;
  /** How many lines that rests on. */
  lines: number;
  /** The noise while all comes through, one curve a channel. */
  noise: NoiseSpectrum[];
  /** From this sample on, all that stands out is seen to come through. */
  opensSample: number;
  /** From this sample on, sound of a frequency, Hz, does not come through in full any more; Infinity where it does to the end. */
  closesAt: (frequencyHz: number) => number;
}

/** Noise is looked at so far from a line, and so far at least from every line, Hz. */
const FARTHEST_HZ = 80;
const NEAREST_HZ = 25;
const FEWEST_BINS = 4;
/** A line sounds while it stands so far over the noise of the quiet; under the second it is gone, dB. */
const SOUNDS_DB = 45;
const GONE_DB = 15;
const FEWEST_SPECTRA = 3;
/** Noise in proportion to the line is its own: a room, a coder, a gain. The line must fall by so much, dB, while the noise stays, */
const LINE_FALLS_DB = 12;
/** within so much, dB, or this part of the fall. */
const STAYS_DB = 4;
const STAYS_SHARE = 0.25;
/** Noise that is let through is so much over that of the quiet, dB, beside so many lines and beside most of those that are followed. */
const LEAST_DB = 8;
const FEWEST_LINES = 3;
/** So far over the level at which a band closes, its gain is 1 to a hundredth in power, dB. */
const FULLY_OPEN_DB = 20;
/** Where bands close is looked at every so many Hz, over so many to either side. */
const BAND_STEP_HZ = 20;
const BAND_HALF_HZ = 40;

/**
 * Whether the noise beside lines that sound is louder than in the quiet, stays as it is while they decay, and vanishes with them
 * while it stays beside others. Noise suppression by bands does this (Boll, IEEE Trans. ASSP 27 (1979) 113-120, from memory): it
 * turns down what does not stand out of the noise. Nothing else does: a gate turns all bands down at once, and the noise of a room
 * or of a coder falls as the line does.
 *
 * @param noise of the quiet, one curve a channel
 * @param spectra those of the ring, where they are there already
 * @returns null where it is not so, or too few lines can be followed
 */
export function passedNoise(
  ring: RingDown,
  noise: NoiseSpectrum[],
  spectra = spectraAfterBlow(ring),
): PassedNoise | null {
  if (spectra[0].power.length === 0) return null;
  const lines = spectra.flatMap((s, c) => followLines(s, noise[c]));
  const raised = lines.flatMap((line) => raisedBeside(line) ?? []);
  const passing = raised.filter(({ isSteady, besideDb }) => isSteady && besideDb >= LEAST_DB);
  if (apart(passing) < FEWEST_LINES || 2 * passing.length <= raised.length) return null;
  if (!(vanishesDb(passing) >= LEAST_DB)) return null;
  const aboveQuietDb = passing.reduce((sum, l) => sum + l.besideDb, 0) / passing.length;
  const squares = passing.reduce((sum, l) => sum + (l.besideDb - aboveQuietDb) ** 2, 0);
  const leastDb = closingLevelDb(lines, aboveQuietDb) + FULLY_OPEN_DB;
  const closing = spectra.map((s, c) => closingSamples(s, noise[c], leastDb));
  return {
    aboveQuietDb,
    noise: noise.map((n) => louderBy(n, aboveQuietDb)),
    sdDb: Math.sqrt(squares / (passing.length - 1) / passing.length),
    lines: passing.length,
    opensSample: spectra[0].startSamples[0],
    closesAt: (frequencyHz) => {
      const band = Math.round(Math.abs(frequencyHz) / BAND_STEP_HZ);
      return Math.min(...closing.map((c) => c[Math.min(band, c.length - 1)]));
    },
  };
}

const louderBy = ({ centresHz, variance }: NoiseSpectrum, decibel: number): NoiseSpectrum => ({
  centresHz,
  variance: variance.map((v) => v * 10 ** (decibel / 10)),
});

/** A line through the spectra: its level, and that of the noise beside it, dB over the noise of the quiet. */
interface FollowedLine {
  frequencyHz: number;
  levelDb: number[];
  besideDb: number[];
  /** The last spectrum in which it sounds, or -1. */
  last: number;
}

function followLines(spectra: ShortSpectra, noise: NoiseSpectrum): FollowedLine[] {
  const { power, binHz } = spectra;
  const lines = linesOf(spectra, noise);
  return lines.flatMap((line) => {
    const beside = besideOf(line, lines, spectra);
    if (beside.length < FEWEST_BINS) return [];
    const at = Math.round(line / binHz);
    const quiet = noiseAt(noise, line);
    const levelDb = power.map((p) => decibels(Math.max(p[at - 1], p[at], p[at + 1]) / quiet));
    // The median of an exponential distribution is ln 2 of its mean.
    const besideDb = power.map((p) => decibels(median(beside.map((k) => p[k])) / Math.LN2 / quiet));
    return [
      { frequencyHz: line, levelDb, besideDb, last: levelDb.findLastIndex((level) => level >= SOUNDS_DB) },
    ];
  });
}

/** Frequencies of what once stands far out of the quiet, Hz: in each stretch of the spectrum the largest. */
function linesOf({ power, binHz }: ShortSpectra, noise: NoiseSpectrum): number[] {
  const most = Float64Array.from(power[0], (_, k) => Math.max(...power.map((p) => p[k])));
  const reach = Math.ceil(NEAREST_HZ / 2 / binHz);
  const lines: number[] = [];
  for (let k = reach; k < most.length - reach; k++) {
    const isLargest = most.subarray(k - reach, k + reach + 1).every((m) => m <= most[k]);
    if (isLargest && most[k] >= 10 ** (SOUNDS_DB / 10) * noiseAt(noise, k * binHz)) lines.push(k * binHz);
  }
  return lines;
}

/** Bins beside a line that lie beside no other. */
function besideOf(line: number, lines: number[], { power, binHz }: ShortSpectra): number[] {
  const from = Math.max(1, Math.ceil((line - FARTHEST_HZ) / binHz));
  const to = Math.min(power[0].length - 1, Math.floor((line + FARTHEST_HZ) / binHz));
  const beside: number[] = [];
  for (let k = from; k <= to; k++) {
    if (lines.every((l) => Math.abs(l - k * binHz) >= NEAREST_HZ)) beside.push(k);
  }
  return beside;
}

interface RaisedBeside {
  line: FollowedLine;
  besideDb: number;
  isSteady: boolean;
}

/** The noise beside a line while it sounds; null where the line is not seen to fall far enough. */
function raisedBeside(line: FollowedLine): RaisedBeside | null {
  const { levelDb, besideDb, last } = line;
  if (last + 1 < FEWEST_SPECTRA) return null;
  const fallDb = Math.max(...levelDb.slice(0, last + 1)) - levelDb[last];
  if (fallDb < LINE_FALLS_DB) return null;
  const half = (last + 1) >> 1;
  const fallBesideDb = median(besideDb.slice(0, half)) - median(besideDb.slice(half, last + 1));
  return {
    line,
    besideDb: median(besideDb.slice(0, last + 1)),
    isSteady: Math.abs(fallBesideDb) < Math.max(STAYS_DB, STAYS_SHARE * fallDb),
  };
}

/** How many frequencies these are: a line is seen in every channel. */
const apart = (raised: RaisedBeside[]): number =>
  raised.filter(({ line }, i) =>
    raised.slice(0, i).every((r) => Math.abs(r.line.frequencyHz - line.frequencyHz) >= NEAREST_HZ / 2),
  ).length;

/**
 * By how much the noise beside lines falls when they are gone, while beside others that sound it stays as it was, dB; NaN where that is
 * not seen. Each line is held against itself: a lorry that comes by raises low noise more than high, whether a line sounds or not.
 */
function vanishesDb(raised: RaisedBeside[]): number {
  const falls: number[] = [];
  for (let i = 0; i < raised[0].line.levelDb.length; i++) {
    const sounding = raised.filter(({ line }) => i <= line.last);
    const gone = raised.filter(({ line }) => i > line.last && line.levelDb[i] < GONE_DB);
    if (sounding.length === 0 || gone.length === 0) continue;
    const fallDb = ({ line, besideDb }: RaisedBeside) => besideDb - line.besideDb[i];
    if (Math.abs(median(sounding.map(fallDb))) < STAYS_DB) falls.push(median(gone.map(fallDb)));
  }
  return falls.length < FEWEST_SPECTRA ? Number.NaN : median(falls);
}

/** The level of a line, dB over the noise of the quiet, at which the noise beside it has lost half of its decibels; 0 where none falls so far. */
function closingLevelDb(lines: FollowedLine[], aboveQuietDb: number): number {
  const levels = lines.flatMap(({ levelDb, besideDb }) => {
    const closed = besideDb.findIndex((beside) => beside < aboveQuietDb / 2);
    return closed < 1 ? [] : [levelDb[closed - 1]];
  });
  return levels.length === 0 ? 0 : median(levels);
}

/**
 * Per band, every BAND_STEP_HZ: the middle of the last spectrum before the first in which nothing stands `leastDb` over the noise of the
 * quiet, the beginning of that where it is the first of all; Infinity if none. In a long ring the spectra lie apart: what lies between is not seen.
 */
function closingSamples(
  { power, startSamples, size, binHz }: ShortSpectra,
  noise: NoiseSpectrum,
  leastDb: number,
): Float64Array {
  const bands = Math.ceil(((power[0].length - 1) * binHz) / BAND_STEP_HZ);
  return Float64Array.from({ length: bands }, (_, band) => {
    const frequencyHz = band * BAND_STEP_HZ;
    const from = Math.max(1, Math.floor((frequencyHz - BAND_HALF_HZ) / binHz));
    const to = Math.ceil((frequencyHz + BAND_HALF_HZ) / binHz) + 1;
    const least = 10 ** (leastDb / 10) * noiseAt(noise, frequencyHz);
    const first = power.findIndex((p) => p.subarray(from, to).every((v) => v < least));
    if (first < 0) return Number.POSITIVE_INFINITY;
    return first === 0 ? startSamples[0] : startSamples[first - 1] + size / 2;
  });
}

const decibels = (ratio: number): number => 10 * Math.log10(Math.max(ratio, 1e-30));

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return (sorted[sorted.length >> 1] + sorted[(sorted.length - 1) >> 1]) / 2;
}
