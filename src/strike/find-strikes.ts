import { type Samples, samplesOf } from "../audio/index.ts";
import { type BandLevels, bandLevels, ROUNDING_24_BIT_POWER } from "./band-levels.ts";
import { broadbandRises } from "./broadband-rise.ts";
import { describeStrike, power } from "./describe-strike.ts";
import { withoutReopenings } from "./gate.ts";
import { firstSoundingFrame, noiseLevels, quietestLevels } from "./noise-floor.ts";
import { quietStretch } from "./quiet.ts";
import { beginsInRing, groupRises, type RiseGroup } from "./rise-groups.ts";
import type { QuietStretch, Strike, StrikeSearch } from "./strike.ts";

/** Shorter recordings and rings hold nothing to measure. */
const SHORTEST_RECORDING_S = 0.2;
const SHORTEST_RING_S = 0.1;
const LEVEL_S = 0.05;
/** Weight of a clipped or a rattling strike in the choice of the best. */
const CLIPPED_COUNTS = 1e-6;
const RATTLE_COUNTS = 0.01;

/**
 * Every strike in a recording, the quiet for its noise spectrum, and the best strike to measure.
 *
 * 1. Sudden broadband rises of the short-time spectrum against a held level (broadband-rise.ts).
 * 2. Rises within 150 ms of each other are one strike (rise-groups.ts); its contacts are placed by linear prediction (contacts.ts).
 * 3. Each ring ends at the next strike, under a hand, or at the noise (ring-end.ts).
 *
 * Reads the samples block by block, in few goes, and keeps of them what a strike needs, so that a recording may be of any
 * length; what it finds is the same as if all had been in memory.
 *
 * `sound` is one array a channel, equally long and finite, full scale 1, or samples that are read where they are wanted;
 * `clipStretches` are [start, end) samples at which any channel clips.
 * Never throws on such input: where nothing can be found, `strikes` is empty and `reason` says why.
 */
export function findStrikes(
  sound: Samples | Float32Array[],
  sampleRateHz: number,
  clipStretches: [number, number][] = [],
): StrikeSearch {
  const samples = Array.isArray(sound) ? samplesOf(sound) : sound;
  return searchStrikes(samples, bandLevels(samples, sampleRateHz), clipStretches);
}

/** The same from levels that are known. */
export function searchStrikes(
  sound: Samples,
  levels: BandLevels,
  clipStretches: [number, number][] = [],
): StrikeSearch {
  const { sampleRateHz } = levels;
  const samples = sound.sampleCount;
  const durationS = samples / sampleRateHz;
  if (durationS < SHORTEST_RECORDING_S) {
    return nothing(
      `The recording lasts only ${Math.round(1000 * durationS)} ms: record one strike until the ring has died away.`,
    );
  }
  const firstFrame = firstSoundingFrame(levels);
  if (firstFrame === levels.frames) {
    return nothing("The recording is silent: check the microphone and the input level, then record again.");
  }
  const quietest = quietestLevels(levels, firstFrame);
  const inRingFrame = beginsInRing(levels, quietest, firstFrame) ? firstFrame : null;
  const rises = withoutReopenings(levels, broadbandRises(levels, quietest, firstFrame), inRingFrame);
  const groups = groupRises(levels, rises, inRingFrame);
  if (groups.length === 0) {
    return nothing(
      "No strike stands out of the background: record closer to the bell or in a quieter place, and strike once while recording.",
    );
  }
  const clips = clipStretches.toSorted((a, b) => a[0] - b[0]);
  const noise = noiseLevels(levels, quietest, firstFrame, firstFrameOf(groups[0]));
  const quietestPower = noisePowerOf(sound, sampleRateHz, null);
  // From the last to the first: a ring ends before the contact that follows it.
  const described: Strike[] = [];
  for (const group of groups.toReversed()) {
    const next = described[0] ?? null;
    described.unshift(describeStrike(sound, levels, group, next, noise, quietestPower, clips));
  }
  const strikes = described.filter(
    (strike) => strike.endSample - strike.ringStartSample >= SHORTEST_RING_S * sampleRateHz,
  );
  if (strikes.length === 0) {
    return nothing(
      "The only ring to be heard is cut or damped within a tenth of a second: let the bell ring until it has died away.",
    );
  }
  const quiet = quietStretch(levels, strikes, firstFrame * levels.hopSamples, samples);
  const noisePower = Math.max(
    ROUNDING_24_BIT_POWER * sound.channelCount,
    noisePowerOf(sound, sampleRateHz, quiet),
  );
  for (const strike of strikes) {
    const end = Math.min(strike.endSample, strike.onsetSample + Math.round(LEVEL_S * sampleRateHz));
    const start = power(sound, strike.onsetSample, end);
    strike.snrDb = 10 * Math.log10(Math.max(start, ROUNDING_24_BIT_POWER) / noisePower);
  }
  return { strikes, best: bestOf(sound, strikes, sampleRateHz, noisePower), quiet, reason: null };
}

function firstFrameOf(group: RiseGroup): number {
  return group.beginsAtFrame ?? group.rises[0].firstFrame;
}

/** Mean power of the quiet; where there is none, of the quietest 50 ms, which may still ring. */
function noisePowerOf(sound: Samples, sampleRateHz: number, quiet: QuietStretch | null): number {
  if (quiet !== null) return power(sound, quiet.startSample, quiet.endSample);
  const block = Math.round(LEVEL_S * sampleRateHz);
  let least = Number.POSITIVE_INFINITY;
  for (let n = 0; n + block <= sound.sampleCount; n += block) {
    const level = power(sound, n, n + block);
    if (level > 0) least = Math.min(least, level);
  }
  return least;
}

/**
 * The strike that fixes frequencies and decays best: the energy of its free ring over the noise, times its length, which sharpens the
 * lines; clipped or rattling ones only where there is no other.
 */
function bestOf(sound: Samples, strikes: Strike[], sampleRateHz: number, noisePower: number): number {
  let best = 0;
  let bestScore = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < strikes.length; i++) {
    const { ringStartSample, endSample, clipped, rattle } = strikes[i];
    const usedS = (endSample - ringStartSample) / sampleRateHz;
    const energy = Math.max(0, power(sound, ringStartSample, endSample) - noisePower) * usedS;
    const score = energy * usedS * (clipped ? CLIPPED_COUNTS : 1) * (rattle ? RATTLE_COUNTS : 1);
    if (score > bestScore) {
      bestScore = score;
      best = i;
    }
  }
  return best;
}

function nothing(reason: string): StrikeSearch {
  return { strikes: [], best: -1, quiet: null, reason };
}
