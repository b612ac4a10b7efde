import {
  fftLadder,
  type LadderStep,
  type NoiseSpectrum,
  noiseCentresHz,
  noiseOfStretch,
} from "../spectrum/index.ts";
import type { Line } from "./line.ts";
import { newSearch, type Search } from "./search.ts";
import { movedLine } from "./stabilise.ts";

/** The audio of one ring-down, as the fit sees it. */
export interface RingDown {
  /** One array a channel, full scale = 1, without offset. */
  channels: Float32Array[];
  sampleRateHz: number;
  /** First contact of the rod: amplitudes and phases are given at this sample. */
  onsetSample: number;
  /** Earliest sample that a fit may use: after the last contact, after clipping. */
  ringStartSample: number;
  endSample: number;
  /** More than one contact: the fit may not begin before the last. */
  bounced: boolean;
  /** A stretch without ringing, or null. */
  quiet: { startSample: number; endSample: number } | null;
  /** Variance per sample under which noise is never assumed, e.g. the quantiser's. */
  noiseFloor: number;
}

/** A stretch shorter than this says too little of the noise. */
const SHORTEST_QUIET = 4096;
/** Silence lasts so long at least, and ends so long before the contact, s. */
const SHORTEST_SILENCE_S = 0.05;
const BEFORE_CONTACT_S = 0.01;
/** And only this part of its samples may be more than the rounding of nothing. */
const SOUNDING_SHARE = 0.02;

/** Noise per channel: from the quiet stretch, else from the last 15 % of the ring. */
export function quietNoise(ring: RingDown): {
  noise: NoiseSpectrum[];
  from: "before the strike" | "after the ring" | "the residual";
} {
  const { quiet, endSample, ringStartSample } = ring;
  const useQuiet = quiet !== null && quiet.endSample - quiet.startSample >= SHORTEST_QUIET;
  const start = useQuiet ? quiet.startSample : Math.floor(endSample - 0.15 * (endSample - ringStartSample));
  const end = useQuiet ? quiet.endSample : endSample;
  const noise = ring.channels.map((x) => noiseOfStretch(x, start, end, ring.sampleRateHz, ring.noiseFloor));
  const from = !useQuiet
    ? "the residual"
    : quiet.endSample <= ring.onsetSample
      ? "before the strike"
      : "after the ring";
  return { noise, from };
}

/** The noise of a ring before which next to no sample is more than a step from nothing: that of the rounding. Null where it is not so, or not seen for long enough. */
export function silence({
  channels,
  onsetSample,
  sampleRateHz,
  noiseFloor,
}: RingDown): NoiseSpectrum[] | null {
  const end = onsetSample - Math.round(BEFORE_CONTACT_S * sampleRateHz);
  if (end < SHORTEST_SILENCE_S * sampleRateHz) return null;
  const step = Math.sqrt(12 * noiseFloor);
  // The mean of the recording was taken off, which may be half a step.
  const isSilent = (x: Float32Array) =>
    x.subarray(0, end).filter((v) => Math.abs(v) > 1.5 * step).length <= SOUNDING_SHARE * end;
  if (!channels.every(isSilent)) return null;
  const centresHz = noiseCentresHz(sampleRateHz);
  return channels.map(() => ({ centresHz, variance: new Float64Array(centresHz.length).fill(noiseFloor) }));
}

/** Opens a search at a start of a ring-down, with an allowance for misfit, up to an end; null where too little of the ring is left. */
export type SearchOpener = (startSample: number, misfit: number, endSample?: number) => Search | null;

/**
 * Opens searches at given starts of one ring-down; null where less than a twentieth of a second is left. The last ladder is
 * kept: the choice of the start and the search from it want the same.
 */
export function searchOpener(ring: RingDown, noise: NoiseSpectrum[]): SearchOpener {
  let last: { startSample: number; endSample: number; ladder: LadderStep[] } | null = null;
  return (startSample, misfit, endSample = ring.endSample) => {
    if (endSample - startSample < Math.max(512, 0.05 * ring.sampleRateHz)) return null;
    if (last?.startSample !== startSample || last.endSample !== endSample) {
      const ladder = fftLadder(ring.channels, startSample, endSample, ring.sampleRateHz);
      last = { startSample, endSample, ladder };
    }
    const { ladder } = last;
    return ladder.length ? newSearch(ring.sampleRateHz, ladder, noise, ring.noiseFloor, misfit) : null;
  };
}

/** Later starts of a finished search, each opened once, with the lines moved there in the same order. */
export function lateSearches(
  search: Search,
  startSample: number,
  open: SearchOpener,
): (delayS: number) => Search | null {
  const opened = new Map<number, Search | null>();
  return (delayS) => {
    const delay = Math.round(delayS * search.sampleRateHz);
    if (!opened.has(delay)) {
      const late = open(startSample + delay, search.misfit);
      if (late) {
        late.noise = late.ladder.map(() => search.passing?.noise ?? search.noise[0]);
        late.lines = search.lines.map((l: Line) => movedLine(l, delay / search.sampleRateHz));
      }
      opened.set(delay, late);
    }
    return opened.get(delay)!;
  };
}
